"""Ways from outside checks to Figures and tables: torque, fasteners."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from reference.check_ways import Cells, Way

INCH = 0.0254  # m, exact
# The series of hexagons by the number of their standard, and the column that holds it.
SERIES = {4014: "hexagon", 931: "older", 1180: "small_hexagon", 4762: "key"}
# Mean diameter under the head over the thread's: hexagon heads of ISO 4014 bear on 11.63 and 14.63 mm, medium holes of ISO 273
# are 9 and 11 mm (from memory); the check leaves it open.
HEAD_MEAN = {"M8": 10.3 / 8, "M10": 12.8 / 10}
SURFACES = {
    "nonplated_black": "book-black",
    "zinc_plated": "book-zinc",
    "lubricated": "book-lubricated",
    "cadmium_plated": "book-cadmium",
    "anti_seize": "book-paste",
}


def thread_row(thread: str) -> str:
    """Row id of 'M10' and 'M10x125' (a pitch in hundredths of a millimetre)."""
    size, _, pitch = thread.lower().partition("x")
    return f"{size}x{int(pitch) / 100:g}" if pitch else size


def pitch_row(nominal_diameter: float, pitch: float) -> str:
    """Row id of a thread by its sizes in metres; the coarse one goes without its pitch."""
    coarse: dict[float, float] = {
        3: 0.5,
        4: 0.7,
        5: 0.8,
        6: 1,
        7: 1,
        8: 1.25,
        10: 1.5,
        12: 1.75,
        14: 2,
        16: 2,
        18: 2.5,
        20: 2.5,
    }
    size, step = round(nominal_diameter * 1000, 6), round(pitch * 1000, 6)
    return f"m{size:g}" if coarse.get(size) == step else f"m{size:g}x{step:g}"


def inches(text: str) -> float:
    """Metres of '7/16', '1 1/16' or '11/16 in'."""
    return float(sum(Fraction(part) for part in text.removesuffix(" in").split())) * INCH


def inch_thread(text: str) -> tuple[float, float]:
    """Diameter in metres and threads a metre of '1 1/16-12 UN'."""
    size, count = text.split(" UN")[0].rsplit("-", 1)
    return inches(size), int(count) / INCH


def surface_row(surface: str) -> str:
    """Row id of the book's row for 'zinc_plated'; one that is not there stands for itself, and is told as missing."""
    return SURFACES.get(surface, surface)


def dash_row(dash: float) -> str:
    return f"dash-{dash:g}"


def bolt_at(order: list[list[Any]], step: str) -> float:
    return float(order[int(step) - 1][0])


WRENCH = {"length": "wrench_length", "offset": "adapter_length", "angle": "angle"}
THREAD = r"(?P<thread>M\d+(x\d+)?)"
FRICTION = {"pitch": "pitch", "friction": "thread_friction"}

WORKSHOP_WAYS: tuple[Way | Cells, ...] = (
    Way("torque", "torque-adapter", {"torque": "required_torque", **WRENCH}, {"wrench_setting": "setting"}),
    # The same lever the other way: what is set stands as the torque.
    Way("torque", "torque-adapter", {"torque": "wrench_setting", **WRENCH}, {"fastener_torque": "reached"}),
    # A wrench whose scale ends so that the setting lies in its good part, held at its mark.
    Way(
        "torque",
        "wrench-range",
        {"setting": "small_setting"},
        {"small_low": "least", "small_high": "most"},
        fixed={"bottom": "2 N·m", "top": "20 N·m", "of": "reading", "accuracy": "4 %"},
        spare="large_setting",
    ),
    Way(
        "torque",
        "wrench-range",
        {"setting": "large_setting"},
        {"large_low": "least", "large_high": "most"},
        fixed={"bottom": "10 N·m", "top": "120 N·m", "of": "reading", "accuracy": "4 %"},
        spare="small_setting",
    ),
    Cells("fasteners", "metric-threads", pitch_row, {"stress_area": "stress_area"}),
    Cells("fasteners", "all-threads", pitch_row, {"stress_area": "stress_area"}),
    Way(
        "fasteners",
        "clamp-load",
        {"thread": pitch_row, "diameter": "nominal_diameter", "pitch": "pitch"},
        {"pitch_diameter": "pitch_diameter"},
    ),
    Way(
        "fasteners",
        "thread-engagement",
        {"thread": pitch_row, "diameter": "nominal_diameter", "pitch": "pitch"},
        {"root_diameter_external": "root", "minor_diameter_internal": "bore"},
    ),
    Cells("fasteners", "metric-threads", lambda thread: thread_row(thread), {f"p_{THREAD}": "pitch"}),
    Cells("fasteners", "all-threads", lambda thread: thread_row(thread), {f"p_{THREAD}": "pitch"}),
    Cells("fasteners", "metric-threads", lambda thread: thread_row(thread), {f"A_{THREAD}": "stress_area"}),
    Cells("fasteners", "all-threads", lambda thread: thread_row(thread), {f"A_{THREAD}": "stress_area"}),
    # The table's columns are the classes; its proof stress is what the loads were reckoned with.
    Cells(
        "fasteners",
        "proof-loads",
        lambda thread: thread_row(thread),
        {f"proof_load_{THREAD}": lambda property_class: f"class_{property_class:.1f}".replace(".", "_")},
        spare="proof_stress",
    ),
    *(
        Way(
            "fasteners",
            figure,
            {
                "thread": lambda thread: thread_row(thread),
                "grade": lambda property_class: f"class-{property_class:.1f}",
            },
            {f"proof_load_{THREAD}": "proof_load"},
            spare="proof_stress",
        )
        for figure in ("clamp-load", "thread-engagement")
    ),
    Cells(
        "fasteners",
        "nut-factors",
        surface_row,
        {"K_(?P<surface>[a-z_]+)": "k"},
    ),
    Way(
        "fasteners",
        "clamp-load",
        {"diameter": "nominal_diameter", "k": "K"},
        {"torque": "torque"},
        solve=("torque", "clamp", "preload"),
    ),
    # The book's mean thread diameter is the pitch diameter, and its half flank angle that of a metric thread: the Figure's own.
    Way(
        "fasteners",
        "clamp-load",
        {
            "diameter": "nominal_diameter",
            "pitch": lambda threads_per_inch: 1 / threads_per_inch,
            "friction": "thread_friction",
            "head_friction": "collar_friction",
            "bearing": lambda collar_mean_diameter, nominal_diameter: collar_mean_diameter / nominal_diameter,
        },
        {"torque": "torque", "K_equivalent": "k_friction"},
        solve=("torque", "clamp_friction", "preload"),
        spare="mean_thread_diameter half_flank_angle",
    ),
    Way(
        "fasteners",
        "clamp-load",
        {"diameter": "nominal_diameter", "k": "K", "proof": "proof_stress", "area": "stress_area"},
        {"preload": "clamp", "torque": "torque"},
        # A pitch that suits the diameter; these two answers do not hang on it.
        fixed={"thread": "m20"},
        solve=(
            "torque",
            "clamp",
            lambda preload_fraction, proof_stress, stress_area: preload_fraction * proof_stress * stress_area,
        ),
    ),
    # A basic profile: the diameter is the pitch diameter and 0.6495 of the pitch.
    Way(
        "fasteners",
        "clamp-load",
        {
            **FRICTION,
            "diameter": lambda pitch_diameter, pitch: pitch_diameter + 0.649519 * pitch,
            "head_friction": "bearing_friction",
            "bearing": lambda bearing_mean_diameter, pitch_diameter, pitch: (
                bearing_mean_diameter / (pitch_diameter + 0.649519 * pitch)
            ),
        },
        {"torque(_exact_form)?": "torque"},
        solve=("torque", "clamp_friction", "preload"),
    ),
    # Yield with twisting, times the share that is used. The class brings the yield stress of the check.
    Way(
        "fasteners",
        "clamp-load",
        {
            "thread": lambda thread: thread_row(thread),
            "friction": "friction",
            "head_friction": "friction",
            "bearing": lambda thread: HEAD_MEAN.get(thread, 1.3),
        },
        {
            f"preload_{THREAD}": lambda stretches, utilisation: stretches * utilisation,
            f"torque_{THREAD}": lambda stretches, utilisation, k_friction, diameter: (
                stretches * utilisation * k_friction * diameter
            ),
        },
        fixed={"grade": "class-8.8"},
        # The Figure twists the bolt by the friction that its K means.
        solve=("k", "meant", "friction"),
        spare="yield_strength utilisation",
    ),
    Cells(
        "fasteners",
        "wrench-sizes",
        lambda thread: thread_row(thread),
        {f"s_{THREAD}": lambda series: SERIES.get(round(series), "hexagon of that series")},
    ),
    Cells(
        "fasteners",
        "flare-and-hose",
        dash_row,
        {
            "major_diameter": lambda thread: inch_thread(thread)[0],
            "tpi": lambda thread: inch_thread(thread)[1],
            "hex": lambda wrench: inches(wrench),
        },
    ),
    Way(
        "fasteners",
        "tightening-order",
        {"across": "bolts"},
        {r"step_(?P<step>\d+)": bolt_at},
        fixed={"pattern": "circle"},
    ),
)
