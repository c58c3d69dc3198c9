"""What somebody in a garage types, and what must then stand first. Common practice, no source."""

from __future__ import annotations

import pytest

FIRST = {
    "inj": "figures/injector-flow/",
    "ft lb": "figures/torque-units/",
    "ftlb": "figures/torque-units/",
    "afr": "figures/mixture/",
    "lambda": "figures/mixture/",
    "-6": "tables/flare-and-hose/#row-dash-6",
    "an6": "tables/flare-and-hose/",
    "an-6": "tables/flare-and-hose/#row-dash-6",
    "jic": "tables/flare-and-hose/",
    "-8 hose": "tables/flare-and-hose/#row-dash-8",
    "knock": "figures/octane-scales/",
    "boost": "figures/boost-from-pulley/",
    "intercooler": "figures/charge-cooler/",
    "duty cycle": "figures/injector-duty/",
    "dead time": "figures/injector-duty/",
    "fuel pump": "figures/pump-margin/",
    "fuel pressure": "figures/rail-pressure/",
    "antifreeze": "figures/coolant-mix/",
    "overheating": "figures/boil-point/",
    "crowfoot": "figures/torque-adapter/",
    "torque sequence": "figures/tightening-order/",
    "stripped thread": "figures/thread-engagement/",
    "belt slip": "figures/boost-loss/",
    "volt drop": "figures/wire-drop/",
    "18 awg": "tables/wire-sizes/#row-awg-18",
    "10.9": "tables/bolt-classes/#row-class-10.9",
    "m10x1.25": "tables/all-threads/#row-m10x1.25",
    "3/8-24": "tables/all-threads/#row-unf-3-8",
    "e85": "figures/fuel-blend/",
    "spanner": "figures/drill-and-wrench/",
    "misfire": "figures/false-lean/",
    "map sensor": "figures/pressure-sensor-check/",
    "fire": "emergency/#fire",
    "petrol spill": "cautions/petrol-spill/",
    "rich": "figures/mixture/",
    "injecter": "figures/injector-flow/",
    "torqe wrench": "figures/torque-adapter/",
    "colant": "figures/coolant-mix/",
    "presure ratio": "figures/pressure-ratio/",
}


@pytest.mark.parametrize("query", FIRST)
def test_what_a_mechanic_types_has_its_answer_first(finding, query):
    found = finding.answer(query)
    assert [entry.path for entry in found.entries[:1]] == [FIRST[query]], [e.path for e in found.entries]
