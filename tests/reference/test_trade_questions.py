"""Questions that people have asked in public about this job, each with the numbers as they gave them, and what the app must say.

Every question has a test whose name begins with its number, here or in the file of its subject; the list below says what each is
about. The right answers were worked out by hand, apart from the app; each band is what the question leaves open.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import Any

import pytest
from reference.real_air import PSI, asked, found, refusal

from webapp.figures.answer import BadInput, answer
from webapp.figures.present import present

QUESTIONS = {
    "Q01": "an inch bolt snapped before its torque",
    "Q02": "small cover bolts break at 5 lbf·ft",
    "Q03": "inch-pounds in the manual, foot-pounds on the wrench",
    "Q04": "what to set with a crowfoot",
    "Q05": "how much to take off for anti-seize",
    "Q06": "an inch bolt forced into a metric hole",
    "Q07": "what a -6 or -8 fitting is",
    "Q08": "a dial that shows −21 at idle",
    "Q09": "an absolute sensor that shows 711 mbar with the engine off",
    "Q10": "the forecast's pressure or the one at the car",
    "Q11": "a 12 psi pulley at altitude",
    "Q12": "drive ratio, and an effective compression ratio",
    "Q13": "boost that falls after a smaller pulley",
    "Q14": "how hot the charge is, and what it costs",
    "Q15": "λ on E85",
    "Q16": "computer and gauge on two scales",
    "Q17": "from 19 to 42 lb/h injectors",
    "Q18": "what is left of a 255 L/h pump",
    "Q19": "low volts at the pump, sagging rail pressure",
    "Q20": "the same car, two trims, two mixtures",
    "Q21": "lean by a misfire",
    "Q22": "decimal commas and semicolons",
    "Q23": "differences, and gauge against absolute",
    "Q24": "how much concentrate with water left in the block",
    "Q25": "cap, altitude, and opening it hot",
    "Q26": "a longer engine harness",
    "Q27": "how long silicone takes",
    "Q28": "rail pressure: in which order",
    "Q29": "fuel on the floor beside a pilot flame",
    "Q30": "octane of two continents",
}
LBF_FT = 1.3558179483314  # N·m
INCH = 0.0254
DEGREE_F = 1 / 1.8


def fahrenheit(kelvin: float) -> float:
    return kelvin * 1.8 - 459.67


def in_every_unit(book: Any, figure: str, name: str, **typed: str) -> dict[str, str]:
    """An answer as the page shows it: unit -> number."""
    view = present(book, "en", book.figures[figure], typed)
    shown = next(one for one in view["answers"] if one["name"] == name)
    return {shown["unit"]: shown["number"]} | {other["unit"]: other["number"] for other in shown["others"]}


# -- every question has its test ---------------------------------------------------------------------------------------------


def covered() -> set[str]:
    """Numbers of the questions that some test of this folder is named for."""
    names = [
        node.name
        for path in Path(__file__).parent.glob("test_*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef)
    ]
    return {found[1] for name in names if (found := re.match(r"test_(Q\d\d)_", name))}


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: f"{question} {QUESTIONS[question]}")
def test_each_question_has_a_test(question: str) -> None:
    assert question in covered()


def test_no_test_is_named_for_a_question_that_is_not_listed() -> None:
    assert covered() == set(QUESTIONS)
    assert list(QUESTIONS) == [f"Q{number:02d}" for number in range(1, 31)]


# -- torque ------------------------------------------------------------------------------------------------------------------


def test_Q03_inch_pounds_stand_beside_foot_pounds_and_newton_metres(book: Any) -> None:
    """100 lbf·in is 8.33 lbf·ft, 11.3 N·m, 1.15 kgf·m; the window 80 to 110 is 6.67 to 9.17 lbf·ft, 9.04 to 12.43 N·m."""
    shown = in_every_unit(book, "torque-units", "same", torque="100 in-lb")
    assert float(shown["lbf·ft"]) == pytest.approx(8.33, abs=0.005)
    assert float(shown["N·m"]) == pytest.approx(11.3, abs=0.05)
    assert float(shown["kgf·m"]) == pytest.approx(1.15, abs=0.005)
    for typed, feet, metres in (("80 in-lb", 6.67, 9.04), ("110 in-lb", 9.17, 12.43)):
        window = in_every_unit(book, "torque-units", "same", torque=typed)
        assert float(window["lbf·ft"]) == pytest.approx(feet, abs=0.005)
        assert float(window["N·m"]) == pytest.approx(metres, abs=0.005)


def test_Q03_a_hundred_on_the_wrong_scale_is_called_out(book: Any) -> None:
    result = answer(book, "en", "torque-units", {"torque": "100 lbf·ft"})
    assert result["gives"]["same"]["si"] == pytest.approx(135.6, abs=0.05)
    assert any("small bolt" in said and "12 times" in said for said in result["warnings"])
    m6 = answer(book, "en", "clamp-load", {"thread": "m6", "torque": "100 lbf·ft"})
    assert m6["verdict"]["level"] == "stop"
    with pytest.raises(BadInput, match="lbf·ft, lbf·in"):
        answer(book, "en", "torque-units", {"torque": "100 lb"})


def test_Q04_twenty_foot_pounds_with_a_three_inch_crowfoot(book: Any) -> None:
    """20 × 18/21 = 17.14 in line, 20 at 90°; 16.67 set gives 19.44, and 17.20 gives 20.07."""
    given = {"length": "18 in", "offset": "3 in"}
    line = asked(book, "torque-adapter", torque="20 lbf·ft", angle="0°", **given)
    assert line("setting") / LBF_FT == pytest.approx(17.14, abs=0.005)
    side = asked(book, "torque-adapter", torque="20 lbf·ft", angle="90°", **given)
    assert side("setting") / LBF_FT == pytest.approx(20, rel=1e-9)
    for setting, delivered in (("16.67 lbf·ft", 19.44), ("17.20 lbf·ft", 20.07)):
        at_nut = asked(book, "torque-adapter", torque=setting, angle="0°", **given)("reached")
        assert at_nut / LBF_FT == pytest.approx(delivered, abs=0.01)
        back = found(book, "torque-adapter", "torque", setting=setting, angle="0°", **given)
        assert back / LBF_FT == pytest.approx(delivered, abs=0.01)
    text = book.texts["en"]["figures"]["torque-adapter"]
    assert any("extension bar" in line and "no correction" in line for line in text["assumes"])


# -- fittings ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "thread", "sixteenths"),
    [("dash-3", "3/8-24", 3), ("dash-4", "7/16-20", 4), ("dash-6", "9/16-18", 6), ("dash-8", "3/4-16", 8), ("dash-10", "7/8-14", 10), ("dash-12", "1 1/16-12", 12)],
)  # fmt: skip
def test_Q07_a_dash_number_is_the_outside_of_a_tube(
    book: Any, row: str, thread: str, sixteenths: int
) -> None:
    cells = book.tables["flare-and-hose"]["rows"][row]
    assert cells["thread"].split(" UN")[0] == thread
    assert cells["tube"] == pytest.approx(sixteenths / 16 * INCH, abs=1e-5)
    assert cells["bore_least"] < cells["tube"]
    body = book.texts["en"]["tables"]["flare-and-hose"]["body"]
    assert all(part in body for part in ("not the bore", "aircraft bolts", "O-ring", "No tape, no sealant"))


# -- air ---------------------------------------------------------------------------------------------------------------------


def test_Q10_the_forecast_gives_too_much_air_and_too_low_a_ratio(book: Any) -> None:
    """1035.6 mbar at sea level are 911 at 3,500 ft; with 8 psi 146.3 kPa and 1.605, not 158.7 and 1.533: 8.5 % too much air."""
    site = asked(book, "site-pressure", altitude="3500 ft", report="1035.6 mbar")("pressure")
    assert site / 1000 == pytest.approx(91.1, abs=0.1)
    assert site / PSI == pytest.approx(13.2, abs=0.05)
    right, wrong = (
        asked(book, "pressure-ratio", boost="8 psi", site=site, loss="0 kPa")
        for site in ("91.1 kPa", "103.56 kPa")
    )
    assert (right("outlet") / 1000, wrong("outlet") / 1000) == pytest.approx((146.3, 158.7), abs=0.06)
    assert (right("ratio"), wrong("ratio")) == pytest.approx((1.605, 1.533), abs=0.001)
    assert wrong("outlet") / right("outlet") - 1 == pytest.approx(0.085, abs=0.001)
    # 103.56 taken for millibar is no air pressure.
    assert "850 mbar" in refusal(book, "site-pressure", altitude="3500 ft", report="103.56 mbar")


# -- mixture -----------------------------------------------------------------------------------------------------------------


def test_Q15_lambda_is_one_at_stoichiometric_on_e85_too(book: Any) -> None:
    """Shown 11.5 on a petrol scale: λ 0.782, 7.6:1. At λ 1 the gauge shows 14.7, whatever the fuel; 9.8 on it is λ 0.67."""
    shown = asked(book, "gauge-scale", shown="11.5", scale="14.7", fuel="e85")
    assert shown("lambda_now") == pytest.approx(0.782, abs=0.0005)
    assert shown("true_ratio") == pytest.approx(7.65, abs=0.05)
    assert asked(book, "gauge-scale", shown="14.7", scale="14.7", fuel="e85")("lambda_now") == 1
    rich = answer(book, "en", "gauge-scale", {"shown": "9.8", "scale": "14.7", "fuel": "e85"})
    assert rich["gives"]["lambda_now"]["si"] == pytest.approx(0.667, abs=0.0005)
    assert any("AFR with AFR of another scale" in said for said in rich["warnings"])


def test_Q15_e85_needs_over_four_tenths_more_fuel_by_volume(book: Any) -> None:
    """By mass 14.7/9.77 = 1.51, by volume 1.42 to 1.44 against petrol, about 1.38 against E10."""

    def need(fuel: str) -> Any:
        return asked(book, "fuel-demand", fuel=fuel, lambda_target="0.8", air_mass_flow="200 g/s")

    e85, petrol, e10 = need("e85"), need("petrol"), need("e10")
    assert e85("fuel_mass_flow") / petrol("fuel_mass_flow") == pytest.approx(1.51, abs=0.025)
    assert e85("fuel_volume_flow") / petrol("fuel_volume_flow") == pytest.approx(1.43, abs=0.025)
    assert e85("fuel_volume_flow") / e10("fuel_volume_flow") == pytest.approx(1.38, abs=0.025)
    blend = answer(book, "en", "fuel-blend", {"share_added": "85 %"})
    assert any("51 to 85 %" in said for said in blend["warnings"])


# -- fuel supply -------------------------------------------------------------------------------------------------------------


def test_Q19_what_thin_wire_takes_from_the_pump(book: Any) -> None:
    """1.9 V at 12 A are 0.16 Ω; 3.5 ft each way lose 0.08 V in 10 AWG of 3.28 mΩ/m and 0.21 V in 14 AWG."""
    given = {"current": "12 A", "out": "3.5 ft", "back": "3.5 ft", "warm": "20 °C"}
    for wire, ohms, volts in (("awg-10", "3.2800 mΩ/m", 0.08), ("awg-14", "8.2900 mΩ/m", 0.21)):
        new = asked(book, "wire-drop", wire=wire, ohms=ohms, joints="0 mΩ", **given)
        assert new("drop") == pytest.approx(volts, abs=0.006)
    joints = found(book, "wire-drop", "joints", wire="awg-10", ohms="3.2800 mΩ/m", drop="1.9 V", **given)
    assert joints + 2 * 3.5 * 12 * INCH * 3.28e-3 == pytest.approx(0.16, abs=0.002)


def test_Q19_five_psi_of_sag_are_four_per_cent_of_fuel(book: Any) -> None:
    """√(53/58) = 0.956: 4.4 % less; λ 0.85 becomes 0.89, 12.5 becomes 13.1."""
    share = asked(book, "injector-flow", rated_drop="58 psi", rail="53 psi", manifold="0 psi")("share")
    assert share == pytest.approx(0.956, abs=0.0005)
    assert 0.85 / share == pytest.approx(0.89, abs=0.003)
    assert 12.5 / share == pytest.approx(13.1, abs=0.03)
    # The same the other way: from the reading to what the fuel must have lost.
    change = asked(book, "fuel-change", measured="13.1 AFR", target="12.5 AFR", scale="14.7")("change")
    assert 1 / (1 + change) == pytest.approx(0.956, abs=0.003)


# -- typed numbers -----------------------------------------------------------------------------------------------------------


def test_Q22_a_decimal_comma_is_one_and_a_lone_mark_before_three_digits_is_asked_back(book: Any) -> None:
    """A log's row 12,34;5480;0,84;162,5: each field typed as it stands. 1.234 may be 1234 and is not guessed."""
    assert asked(book, "injector-duty", pulse="12,34 ms", speed="5480 rpm")("duty") == pytest.approx(
        12.34e-3 * 5480 / 120, rel=1e-9
    )
    rich = asked(book, "fuel-demand", lambda_target="0,84", fuel="petrol")
    assert rich("afr") == pytest.approx(0.84 * book.tables["fuels"]["rows"]["petrol"]["stoich"])
    assert asked(book, "pressure-units", gauge="62,5 kPa", site="100 kPa")("absolute") == pytest.approx(
        162_500
    )
    with pytest.raises(BadInput, match=r"1\.234.*(1234|1\.2340)"):
        answer(book, "en", "injector-duty", {"speed": "1.234 rpm"})


def test_Q22_fields_parted_by_semicolons_keep_their_commas(book: Any) -> None:
    """1,1;2,2;3,3;4,1 are four numbers: in a field for one they are sent back, among the points of a curve each is read."""
    with pytest.raises(BadInput, match="2,2;3,3;4,1"):
        answer(book, "en", "injector-duty", {"pulse": "1,1;2,2;3,3;4,1"})
    curve = {
        "pump": "30,5: 156,5; 60,0: 124,0; 90: 70",
        "base": "30,5 psi",
        "boost": "0 psi",
        "loss": "0 psi",
    }
    assert asked(book, "pump-margin", **curve)("sheet_flow") * 3.6e6 == pytest.approx(156.5)


def test_Q23_a_rise_is_no_reading(book: Any) -> None:
    """12.3 °C of rise are 22.14 °F, without the 32; 3 °C of difference stay 3 K; 3 °C of reading are 276.15 K."""
    rise = in_every_unit(book, "any-unit", "rise_too", rise="12.3 °C")
    assert float(rise["°F"]) == pytest.approx(22.14)
    assert float(in_every_unit(book, "any-unit", "rise_too", rise="3 °C")["K"]) == 3
    assert asked(book, "any-unit", temperature="3 °C")("temperature_too") == pytest.approx(276.15)


@pytest.mark.parametrize(("site", "bar"), [("101.3250 kPa", 5.013), ("83 kPa", 4.83)])
def test_Q23_four_bar_on_the_gauge_are_as_much_as_the_place_makes_them(
    book: Any, site: str, bar: float
) -> None:
    assert asked(book, "pressure-units", gauge="4 barg", site=site)("absolute") / 1e5 == pytest.approx(
        bar, abs=5e-4
    )
    with pytest.raises(BadInput):
        answer(book, "en", "pressure-units", {"gauge": "4 bara"})


# -- fluids ------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("site", "cap", "boils"),
    [("14.7 psi", "9.5 psi", 238), ("14.7 psi", "13 psi", 246), ("14.7 psi", "15 psi", 250), ("10.7 psi", "9.5 psi", 228), ("10.7 psi", "13 psi", 237)],
)  # fmt: skip
def test_Q25_where_water_boils_under_a_cap(book: Any, site: str, cap: str, boils: float) -> None:
    """°F; "3 °F per psi" would give 257 at 15 psi. Half glycol adds 10 to 15 °F."""
    water = asked(book, "boil-point", coolant="water", site=site, cap=cap)
    assert fahrenheit(water("boils")) == pytest.approx(boils, abs=0.6)
    mix = asked(book, "boil-point", coolant="ethylene-50", site=site, cap=cap)
    assert 9.5 <= (mix("boils") - water("boils")) / DEGREE_F <= 16


@pytest.mark.parametrize(("depth", "hours"), [("2 mm", 24), ("4 mm", 96), ("1 mm", 6)])
def test_Q27_twice_the_bead_takes_four_times_as_long(book: Any, depth: str, hours: float) -> None:
    """2 mm in 24 h by the sheet: 4 mm in 96 h; never less than a day."""
    given = {"sheet_depth": "2 mm", "sheet_time": "24 h", "depth": depth}
    cure = asked(book, "sealant-cure", **given)
    assert cure("time") / 3600 == pytest.approx(hours)
    assert cure("wait") / 3600 == pytest.approx(max(hours, 24))
    result = answer(book, "en", "sealant-cure", given)
    assert any("Never for petrol" in said for said in result["warnings"])
    assert result["estimate"].startswith("Estimate")
    page = book.texts["en"]["figures"]["sealant-cure"]
    assert any("working time, wait before fluid, full cure" in line for line in page["assumes"])
    assert "counted from opening the tube" in page["body"] and "oxygen sensors" in page["body"]


@pytest.mark.parametrize("deeper", [1.0, 2.5])
def test_Q27_the_square_law_is_that_of_a_front_behind_its_own_layer(book: Any, deeper: float) -> None:
    """scipy: a front that moves as c/x, from nearly nothing; c from 2 mm in 24 h. Another route than the formula's."""
    from scipy.integrate import solve_ivp

    c = 2.0**2 / (2 * 24)
    reached = solve_ivp(lambda _, x: c / x, (0, 24 * deeper**2), [1e-4], rtol=1e-9, atol=1e-12).y[0][-1]
    given = {"sheet_depth": "2 mm", "sheet_time": "24 h", "depth": f"{reached:.6f} mm"}
    assert asked(book, "sealant-cure", **given)("time") / 3600 == pytest.approx(24 * deeper**2, rel=1e-4)


# -- fuel safety -------------------------------------------------------------------------------------------------------------


def test_Q28_rail_pressure_comes_off_before_the_battery_lead(book: Any) -> None:
    """Cold, outdoors, flames out, cap off, relay out, stall, crank, key off; then the lead; then open, under a rag, to a gauge."""
    sheet = book.texts["en"]["cautions"]["opening-a-fuel-line"]
    said = {part["id"]: " ".join(step["say"] for step in part["statements"]) for part in sheet["sections"]}
    steps, after = said["do_first"], said["clean_up"]
    order = [
        "outdoors", "stone cold", "pilot flames", "Goggles", "filler cap off", "pump relay or fuse out", "let it stall",
        "crank twice more", "Key off, then the lead off, then open", "Rag round the joint", "Ease it open slowly", "until a gauge",
    ]  # fmt: skip
    places = [steps.index(part) for part in order]
    assert places == sorted(places)
    assert "the maker's procedure" in steps and "negative on most cars" in steps
    assert (
        after.index("every joint made")
        < after.index("lead on again")
        < after.index("without cranking, to prime")
    )
    assert "extinguisher at hand" in after
    assert "class B extinguisher" in said["have_ready"]


def test_Q28_every_figure_about_the_rail_opens_with_that_sheet(book: Any) -> None:
    for figure in ("rail-pressure", "pump-margin", "injector-flow", "fuel-line"):
        assert "opening-a-fuel-line" in book.figures[figure].needs, figure
