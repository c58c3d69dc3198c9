"""Tables of coolant, pressure, mixture and air against outside or computed facts. The source stands beside each check;
'from memory' means that it was not seen.
"""

from __future__ import annotations

from typing import Any

import pytest
from content.table_cells import numbers, site_pressure, texts
from CoolProp.CoolProp import PropsSI

DENSITY = {
    "ethylene": 1113.4,
    "propylene": 1036.1,
    "water": 998.2,
}  # kg/m³ at 20 °C, libraries thermo and CoolProp
MOLAR = {"ethylene": 62.068, "propylene": 76.095, "water": 18.0153}  # g/mol
FITS = {
    "ethylene": ("AEG", "MEG"),
    "propylene": ("APG", "MPG"),
}  # by volume (ASHRAE), by mass (Melinder 2010)


def mass_share(glycol: str, volume: float) -> float:
    parts = volume * DENSITY[glycol], (1 - volume) * DENSITY["water"]
    return parts[0] / sum(parts)


def volume_share(glycol: str, mass: float) -> float:
    parts = mass / DENSITY[glycol], (1 - mass) / DENSITY["water"]
    return parts[0] / sum(parts)


def shares(row: str, glycol: str) -> tuple[float, float]:
    """Share by volume and by mass of a row such as 'vol-50'."""
    way, _, percent = row.partition("-")
    share = int(percent) / 100
    return (share, mass_share(glycol, share)) if way == "vol" else (volume_share(glycol, share), share)


@pytest.mark.parametrize("glycol", ["ethylene", "propylene"])
@pytest.mark.parametrize("table", ["glycols", "glycols-by-mass"])
def test_freezing_points_are_on_the_warm_side_of_two_fits(book: Any, table: str, glycol: str) -> None:
    """CoolProp, incompressible mixtures. At most 2.1 °C warmer than the warmer fit: published tables differ by that much."""
    by_volume, by_mass = FITS[glycol]
    shown = numbers(book, table, f"{glycol}_freezes")
    for row in (row for row in shown if shown[row] < 0):
        volume, mass = shares(row, glycol)
        fits = []
        for fluid, share in ((by_volume, volume), (by_mass, mass)):
            if PropsSI("FRACTION_MIN", f"INCOMP::{fluid}[0.3]") <= share <= 0.6001:
                fits.append(PropsSI("T_FREEZE", "T", 300, "P", 101325, f"INCOMP::{fluid}[{share}]") - 273.15)
        assert max(fits) - 0.05 <= shown[row] <= max(fits) + 2.1, (row, fits)


@pytest.mark.parametrize("glycol", ["ethylene", "propylene"])
@pytest.mark.parametrize("table", ["glycols", "glycols-by-mass"])
def test_boiling_points_stay_below_an_ideal_mixture_of_water_and_a_glycol(
    book: Any, table: str, glycol: str
) -> None:
    """Raoult's law with CoolProp's water, the glycol's own vapour left out, which lifts the result: an upper bound, 4 °C wide."""
    for row, shown in numbers(book, table, f"{glycol}_boils").items():
        mass = shares(row, glycol)[1]
        moles = (1 - mass) / MOLAR["water"], mass / MOLAR[glycol]
        vapour = 101325 * sum(moles) / moles[0]
        bound = PropsSI("T", "P", vapour, "Q", 0, "Water") - 273.15
        assert bound - 4 < shown < bound + 0.1, row


@pytest.mark.parametrize("glycol", ["ethylene", "propylene"])
def test_volume_and_mass_of_one_mixture_agree(book: Any, glycol: str) -> None:
    for table, way in (("glycols", 1), ("glycols-by-mass", 0)):
        for row, other in numbers(book, table, f"{glycol}_other").items():
            assert other == pytest.approx(100 * shares(row, glycol)[way], abs=0.051), row


def test_propylene_glycol_is_no_colder_than_lange_prints(book: Any) -> None:
    """Lange's Handbook of Chemistry, 15th edition, table 5.13, p. 5.85 (read), by volume."""
    lange = {"vol-20": -6.7, "vol-30": -12.8, "vol-40": -20.6, "vol-50": -33.3}
    shown = numbers(book, "glycols", "propylene_freezes")
    assert all(lange[row] <= shown[row] <= lange[row] + 1 for row in lange)


def test_boiling_points_under_a_cap_are_those_of_water(book: Any) -> None:
    """CoolProp's saturation of water at the site's pressure and the cap's; shown in whole °C, rounded down."""
    caps = {"open": 0, "cap_0_5": 0.5e5, "cap_0_9": 0.9e5, "cap_1_1": 1.1e5, "cap_1_4": 1.4e5}
    for column, cap in caps.items():
        for row, shown in numbers(book, "boiling-points", column).items():
            pressure = site_pressure(float(row.removeprefix("m-"))) + cap
            exact = PropsSI("T", "P", pressure, "Q", 0, "Water") - 273.15
            assert -0.04 < exact - shown < 1, (column, row)


def test_boiling_at_the_caps_of_a_published_saturation_line(book: Any) -> None:
    """IAPWS-IF97, region 4, at 1.9, 2.1 and 2.4 bar absolute (iapws): 118.60, 121.76 and 126.07 °C; caps stand 1.3 kPa higher."""
    for column, saturation in (("cap_0_9", 118.60), ("cap_1_1", 121.76), ("cap_1_4", 126.07)):
        assert abs(numbers(book, "boiling-points", column)["m-0"] - saturation) < 1


def test_boost_and_vacuum_keep_one_pressure_in_each_row(book: Any) -> None:
    """NIST Special Publication 811 (2008), appendix B.8: kPa of each unit (read), and half of the last digit shown."""
    factors = {"psi": (6.894757, 0.05), "bar": (100, 0.0051), "kpa": (1, 0.05), "inhg": (3.386389, 0.05)}
    factors |= {"kgf": (98.0665, 0.0051), "mmhg": (0.1333224, 0.5)}
    for row in book.tables["boost-and-vacuum"]["rows"]:
        side, _, size = row.partition("-")
        stated = {"none": 0.0, "boost": 6.894757 * float(size or 0), "vacuum": -3.386389 * float(size or 0)}[
            side
        ]
        for column, (factor, half_digit) in factors.items():
            shown = numbers(book, "boost-and-vacuum", column)[row]
            assert shown == pytest.approx(stated / factor, abs=half_digit + 1e-6), (row, column)
        absolute = numbers(book, "boost-and-vacuum", "absolute")[row]
        assert absolute == pytest.approx(101.325 + stated, abs=0.0501), row


def stoichiometric(carbon: int, hydrogen: int, oxygen: int) -> float:
    """Air by mass for complete burning: dry air of 28.9647 g/mol with 20.9476 % oxygen (US Standard Atmosphere 1976)."""
    fuel = 12.011 * carbon + 1.008 * hydrogen + 15.999 * oxygen
    return (carbon + hydrogen / 4 - oxygen / 2) / 0.209476 * 28.9647 / fuel


def blended(*parts: tuple[float, float, float]) -> float:
    """Ratio of a blend: (share by volume, density, ratio) of each part; air needed adds up by mass."""
    mass = sum(volume * density for volume, density, _ in parts)
    return sum(volume * density * ratio for volume, density, ratio in parts) / mass


def test_afr_is_lambda_times_the_ratio_of_the_fuel(book: Any) -> None:
    """Petrol 14.6: Heywood (1988), table D.4 (from memory); ethanol 9.0: US Department of Energy (read)."""
    petrol, ethanol = (745.0, 14.6), (793.7, 9.0)
    ratios = {"scale": 14.7, "petrol": 14.6, "methanol": stoichiometric(1, 4, 1)}
    ratios |= {f"e{n}": blended((1 - n / 100, *petrol), (n / 100, *ethanol)) for n in (10, 20, 85)}
    propane, butane = (507.5, stoichiometric(3, 8, 0)), (584.3, stoichiometric(4, 10, 0))
    ratios["lpg"] = blended((0.5, *propane), (0.5, *butane))
    for column, ratio in ratios.items():
        for row, afr in numbers(book, "afr-and-lambda", column).items():
            # Half a hundredth for the rounding, and as much for that of the ratio.
            assert afr == pytest.approx(float(row.removeprefix("lambda-")) * ratio, abs=0.0105), (column, row)


def test_afr_columns_agree_with_the_table_of_fuels(book: Any) -> None:
    stoich = numbers(book, "fuels", "stoich")
    for column in ("petrol", "e10", "e20", "e85", "methanol", "lpg"):
        assert numbers(book, "afr-and-lambda", column)["lambda-1.00"] == pytest.approx(
            stoich[column], abs=0.006
        )


def test_phi_is_the_inverse_of_lambda(book: Any) -> None:
    for row, phi in numbers(book, "afr-and-lambda", "phi").items():
        assert phi == pytest.approx(1 / float(row.removeprefix("lambda-")), abs=0.0051), row
        assert texts(book, "afr-and-lambda", "name")[row] == f"λ {row.removeprefix('lambda-')}"


def test_air_by_altitude_is_the_standard_atmosphere(book: Any) -> None:
    """ISO 2533:1975 / US Standard Atmosphere 1976 (from memory): R 287.053 J/(kg·K), −6.5 K/km, 1.225 kg/m³."""
    columns = {
        "kpa": (1000, 0.051),
        "mbar": (100, 0.51),
        "inhg": (3386.389, 0.0051),
        "psi": (6894.757, 0.0051),
    }
    for column, (factor, rounding) in columns.items():
        for row, shown in numbers(book, "air-by-altitude", column).items():
            altitude = float(row.removeprefix("m-"))
            assert shown == pytest.approx(site_pressure(altitude) / factor, abs=rounding), row
            warmth = 288.15 - 0.0065 * altitude * 6_356_766 / (6_356_766 + altitude)
            density = site_pressure(altitude) / (287.05287 * warmth) / 1.225
            assert numbers(book, "air-by-altitude", "density")[row] == pytest.approx(100 * density, abs=0.051)
            assert numbers(book, "air-by-altitude", "temperature")[row] == pytest.approx(
                warmth - 273.15, abs=0.051
            )


def test_air_by_altitude_agrees_with_the_printed_atmosphere(book: Any) -> None:
    """US Standard Atmosphere 1976, table I (from memory): 89 876 Pa at 1000 m, 79 501 at 2000 m, 70 121 at 3000 m."""
    shown = numbers(book, "air-by-altitude", "kpa")
    printed = {"m-1000": 89.876, "m-2000": 79.501, "m-3000": 70.121}
    assert {row: shown[row] for row in printed} == pytest.approx(printed, abs=0.051)
