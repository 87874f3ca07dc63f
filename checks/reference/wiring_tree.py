"""Voltages, currents and fault currents of small houses by a distribution solver: prints checks/electrical/wiring_tree.toml.

Wires are modelled as separate reactors, so that the neutral is a wire like any other; loads are resistors or constant
power. The center-tapped transformer is the solver's own three-winding unit. Run: python wiring_tree.py > ../electrical/wiring_tree.toml
"""
import math

import opendssdirect as dss

WIRES = {"A": 1, "B": 2, "C": 3, "N": 4}


def run(lines):
    dss.Text.Command("Clear")
    for line in lines:
        dss.Text.Command(line)
        if dss.Error.Number():
            raise SystemExit(f"{line}: {dss.Error.Description()}")
    dss.Text.Command("Set Tolerance=1e-9")
    dss.Text.Command("Set MaxIterations=500")
    dss.Solution.Solve()
    assert dss.Solution.Converged()


def source(kind, volts):
    """Ideal source between the wires 1, 2, 3 and ground; node 4 is the neutral, tied to ground by a micro-ohm."""
    head = [
        "New Circuit.house bus1=none basekv=1 phases=1 Z1=[1e-7,1e-7] Z0=[1e-7,1e-7]",
        "Set DefaultBaseFrequency=60",
    ]
    angles = {"split": [0.0, 180.0], "two-legs": [0.0, -120.0], "one-line": [0.0], "three-phase": [0.0, -120.0, 120.0]}[kind]
    divide = {"split": 2.0, "two-legs": math.sqrt(3), "one-line": 1.0, "three-phase": math.sqrt(3)}[kind]
    for number, angle in enumerate(angles, 1):
        head.append(
            f"New Vsource.w{number} bus1=src.{number} bus2=src.0 phases=1 basekv={volts / divide / 1000!r} pu=1 angle={angle} "
            "Z1=[1e-7,1e-7] Z0=[1e-7,1e-7]"
        )
    head.append("New Reactor.earth bus1=src.4 bus2=src.0 phases=1 R=1e-7 X=0")
    return head, len(angles)


def conductors(name, begin, end, n_lines, r, x, rn, xn):
    out = []
    for wire in range(1, n_lines + 1):
        out.append(f"New Reactor.{name}{wire} bus1={begin}.{wire} bus2={end}.{wire} phases=1 R={r!r} X={x!r}")
    out.append(f"New Reactor.{name}n bus1={begin}.4 bus2={end}.4 phases=1 R={max(rn, 1e-9)!r} X={xn!r}")
    return out


def load(name, bus, pair, kind, value, factor, rated):
    a, b = (WIRES[w] for w in pair.split("-"))
    if kind == "ohm":
        return [f"New Reactor.load{name} bus1={bus}.{a} bus2={bus}.{b} phases=1 R={value!r} X=0"]
    model = {"power": 1, "impedance": 2}[kind]
    return [
        f"New Load.load{name} bus1={bus}.{a}.{b} phases=1 kv={rated / 1000!r} kw={value / 1000!r} pf={factor!r} "
        f"model={model} vminpu=0.1 vmaxpu=2"
    ]


def joined(rows):
    return "; ".join(", ".join(str(cell) for cell in row) for row in rows)


def volts(bus, pair):
    dss.Circuit.SetActiveBus(bus)
    nodes = dss.Bus.Nodes()
    flat = dss.Bus.Voltages()
    at = {node: complex(flat[2 * i], flat[2 * i + 1]) for i, node in enumerate(nodes)}
    a, b = (WIRES[w] for w in pair.split("-"))
    return abs(at[a] - at[b])


def amperes(element):
    dss.Circuit.SetActiveElement(element)
    flat = dss.CktElement.Currents()
    return abs(complex(flat[0], flat[1]))


def case(name, kind, source_v, sections, loads, note=""):
    head, n = source(kind, source_v)
    lines = list(head)
    for at, (label, above, r, x, rn, xn) in enumerate(sections):
        begin = "src" if above < 0 else f"s{above}"
        lines += conductors(f"sec{at}w", begin, f"s{at}", n, r, x, rn, xn)
    for number, (at, pair, how, value, factor, rated) in enumerate(loads):
        lines += load(number, f"s{at}", pair, how, value, factor, rated)
    run(lines)
    print("\n[[case]]")
    print(f'id = "{name}"')
    print(f'given.kind = "{kind}"')
    print(f"given.source_v = {source_v}")
    print(f'given.sections = "{joined(sections)}"')
    print(f'given.loads = "{joined(loads)}"')
    for number, (at, pair, how, *_rest) in enumerate(loads):
        print(f"expect.load_{number}_v = {volts(f's{at}', pair):.6f}")
        element = f"Reactor.load{number}" if how == "ohm" else f"Load.load{number}"
        print(f"expect.load_{number}_a = {amperes(element):.6f}")
    for at in range(len(sections)):
        print(f"expect.section_{at}_neutral_a = {amperes(f'Reactor.sec{at}wn'):.6f}")
    if note:
        print(f'note = "{note}"')
    print('tolerance = { absolute = 0.0001, why = "six decimals; the solver ties the neutral to earth by a tenth of a micro-ohm" }')


def transformer(name, kva, loads, fault=None):
    """The solver's own center-tapped unit with an ideal primary."""
    lines = [
        "New Circuit.house bus1=prim basekv=7.2 phases=1 pu=1 Z1=[1e-7,1e-7] Z0=[1e-7,1e-7]",
        f"New Transformer.unit phases=1 windings=3 xhl=2.04 xht=2.04 xlt=1.36 %noloadloss=0 %imag=0 "
        f"wdg=1 bus=prim.1.0 kv=7.2 kva={kva} %r=0.6 wdg=2 bus=s0.1.4 kv=0.12 kva={kva} %r=1.2 "
        f"wdg=3 bus=s0.4.2 kv=0.12 kva={kva} %r=1.2",
        "New Reactor.earth bus1=s0.4 bus2=s0.0 phases=1 R=1e-7 X=0",
    ]
    for number, (at, pair, how, value, factor, rated) in enumerate(loads):
        lines += load(number, "s0", pair, how, value, factor, rated)
    if fault:
        a, b = (WIRES[w] for w in fault.split("-"))
        lines.append(f"New Reactor.fault bus1=s0.{a} bus2=s0.{b} phases=1 R=1e-9 X=0")
    run(lines)
    print("\n[[case]]")
    print(f'id = "{name}"')
    print('given.kind = "center-tapped"')
    print(f"given.kva = {kva}")
    if fault:
        print(f'given.fault = "{fault}"')
        print(f"expect.fault_a = {amperes('Reactor.fault'):.4f}")
        print('tolerance = { relative = 1e-5, why = "the solver adds a shunt of a millionth of the rating to every winding" }')
        return
    print(f'given.loads = "{joined(loads)}"')
    for number, (at, pair, how, *_rest) in enumerate(loads):
        print(f"expect.load_{number}_v = {volts('s0', pair):.6f}")
    print('tolerance = { absolute = 0.001, why = "the solver adds a shunt of a millionth of the rating to every winding" }')


print(
    """# Made by checks/reference/wiring_tree.py; do not edit by hand.
[source]
document = "OpenDSSDirect.py 0.9.4: a general distribution solver"
edition = "engine 0.14.5"
where = "small houses with every wire as a reactor; the solver's own center-tapped transformer"
status = "computed"
seen_in = "run once by checks/reference/wiring_tree.py"
kind = "independent"
note = "sections: label, section above (-1 for the source), ohms and reactance of a line, of the neutral; loads: section, wires, ohm or power or impedance, value, power factor, rated volts\""""
)
DROP = ("drop", -1, 0.0201, 0.0044, 0.0201, 0.0044)
FEED = ("feeder", 0, 0.0295, 0.0031, 0.0295, 0.0031)
BRANCH = ("branch", 1, 0.0389, 0.0026, 0.0, 0.0)
SECOND = ("branch 2", 1, 0.0389, 0.0026, 0.0, 0.0)
case("split-phase-balanced", "split", 240.0, [DROP, BRANCH[:1] + (0,) + BRANCH[2:]], [(1, "A-B", "ohm", 6.4, 1, 240)])
case(
    "split-phase-unbalanced-legs", "split", 240.0, [DROP, FEED, BRANCH, SECOND],
    [(2, "A-B", "ohm", 6.4, 1, 240), (3, "A-B", "ohm", 6.4, 1, 240), (0, "A-N", "power", 3000.0, 0.95, 120),
     (1, "B-N", "power", 800.0, 0.9, 120), (0, "A-N", "ohm", 30.0, 1, 120)],
)
case(
    "split-phase-heavy-constant-power", "split", 236.0, [("long drop", -1, 0.08, 0.03, 0.08, 0.03), ("branch", 0, 0.06, 0.004, 0.0, 0.0)],
    [(1, "A-B", "ohm", 2.13333, 1, 240), (0, "A-N", "power", 5000.0, 0.85, 120), (0, "A-B", "power", 9600.0, 1.0, 240),
     (0, "B-N", "impedance", 1500.0, 0.9, 120)],
)
case(
    "two-legs-of-208", "two-legs", 208.0, [DROP, ("branch", 0, 0.0389, 0.0026, 0.0389, 0.0026)],
    [(1, "A-B", "ohm", 6.4, 1, 240), (0, "A-N", "power", 2000.0, 0.95, 120), (1, "B-N", "ohm", 20.0, 1, 120)],
)
case(
    "one-line-230", "one-line", 230.0, [("supply", -1, 0.24, 0.15, 0.16, 0.10), ("branch", 0, 0.0555, 0.0024, 0.0555, 0.0024)],
    [(1, "A-N", "ohm", 9.617, 1, 230), (0, "A-N", "power", 1500.0, 0.95, 230)],
)
case(
    "three-phase-400", "three-phase", 400.0, [("supply", -1, 0.24, 0.15, 0.16, 0.10), ("branch", 0, 0.0366, 0.0016, 0.0366, 0.0016)],
    [(1, "A-B", "ohm", 20.0, 1, 400), (1, "B-C", "ohm", 20.0, 1, 400), (1, "C-A", "ohm", 20.0, 1, 400),
     (0, "A-N", "power", 3500.0, 0.9, 230), (0, "C-N", "power", 700.0, 0.9, 230)],
)
transformer("center-tapped-unbalanced", 25.0, [(0, "A-B", "ohm", 2.13333, 1, 240), (0, "A-N", "ohm", 6.0, 1, 120), (0, "B-N", "power", 600.0, 0.9, 120)])
transformer("center-tapped-fault-lines", 25.0, [], "A-B")
transformer("center-tapped-fault-neutral", 25.0, [], "A-N")
transformer("center-tapped-fault-50-kva", 50.0, [], "B-N")
