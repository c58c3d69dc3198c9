"""What the reader of content/jobs/ hands on: a job's stages and steps, checked for form but not yet for meaning."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .front_matter import Text

# Kinds of temporary state, in the order in which the card offers them; each needs the word job_end_KIND.
END_KINDS = (
    *("rag", "capped", "clamped", "unplugged", "finger_tight", "drained", "dry_fitted"),
    *("temporary_tie", "bagged", "guard_off", "tool", "own"),
)
# Lists of sentences that a step may carry, in the order in which they are read; each needs the word job_LIST.
LISTS = ("ready", "apart", "photo", "new", "touch")
GATES = ("first-start",)
# What the person is asked to write down: `manual` from the maker's manual, `read` from an instrument.
ASKS = ("manual", "read")
# The Figure that puts the bolts of a round in order.
ORDERS = "tightening-order"


@dataclass
class AskFile:
    """A value to be written down: what it is, its kind and the unit offered for it."""

    label: Text
    kind: Text
    unit: Text


@dataclass
class EndFile:
    """A loose end that a step usually opens; `count` 0 where it is not known beforehand."""

    kind: str
    place: Text
    count: int
    note: Text


@dataclass
class LinkFile:
    """A Figure opened with texts typed in; `label` '' for the Figure's own title."""

    figure: Text
    given: list[tuple[Text, Text]]
    label: Text


@dataclass
class RoundFile:
    """A torque round: row of the table of patterns, bolts across and down."""

    label: Text
    pattern: Text
    across: Text
    down: Text
    note: Text


@dataclass
class StepFile:
    """One step. `lists` by the names of LISTS, `asks` by those of ASKS; `gate` '' where nothing bars it."""

    id: Text
    do: Text
    note: Text
    needs: list[Text]
    gate: str
    lists: dict[str, list[Text]]
    asks: dict[str, list[AskFile]]
    ends: list[EndFile]
    closes: list[Text]
    links: list[LinkFile]
    round: RoundFile | None
    finds: list[Text]


@dataclass
class StageFile:
    title: Text
    says: Text
    steps: list[StepFile]


@dataclass
class JobFile:
    """One file of content/jobs/."""

    id: str
    file: str
    title: Text
    summary: Text
    order: int
    basis: Text
    stages: list[StageFile]
    finds: list[Text]
    body: str
    links: list[tuple[str, int]] = field(default_factory=list)

    @property
    def steps(self) -> list[StepFile]:
        return [step for stage in self.stages for step in stage.steps]
