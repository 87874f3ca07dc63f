"""Heads and flows of the networks in checks/water/networks, by EPANET's own engine.

In: every .inp file of that folder. Out: beside each a .csv with the head of every node in m and the flow of every link
in L/s at time 0. `--compare` writes nothing and fails when a value has moved. Needs the packages of requirements.txt.
"""

import ctypes
import math
import os
import pathlib
import sys
import tempfile

import wntr

FOLDER = pathlib.Path(__file__).resolve().parent.parent / "water" / "networks"
ENGINE = pathlib.Path(os.path.dirname(wntr.__file__)) / "epanet/libepanet/linux-x64/libepanet22.so"
US = {0: 28.316846592, 1: 0.0630901964, 2: 43.8126363889, 3: 52.6168040, 4: 14.2764101568}
SI = {5: 1.0, 6: 1 / 60, 7: 1e6 / 86400, 8: 1 / 3.6, 9: 1 / 86.4}
NODE_COUNT, LINK_COUNT, HEAD, FLOW, START_FLOWS = 0, 2, 10, 8, 10
ACCURACY_OPTION = 1


def check(code):
    if code >= 100:
        raise RuntimeError(f"the engine says error {code}")


class Project:
    """One network opened in the engine."""

    def __init__(self, path):
        self.lib = ctypes.CDLL(str(ENGINE))
        self.handle = ctypes.c_void_p()
        check(self.lib.EN_createproject(ctypes.byref(self.handle)))
        out = pathlib.Path(tempfile.mkdtemp())
        names = [str(path), str(out / "report"), str(out / "results")]
        check(self.lib.EN_open(self.handle, *(name.encode() for name in names)))

    def tighten(self):
        self.lib.EN_setoption.argtypes = [ctypes.c_void_p, ctypes.c_int, ctypes.c_double]
        check(self.lib.EN_setoption(self.handle, ACCURACY_OPTION, 1e-8))

    def solve(self):
        moment = ctypes.c_long()
        check(self.lib.EN_openH(self.handle))
        check(self.lib.EN_initH(self.handle, START_FLOWS))
        check(self.lib.EN_runH(self.handle, ctypes.byref(moment)))

    def count(self, what):
        number = ctypes.c_int()
        check(self.lib.EN_getcount(self.handle, what, ctypes.byref(number)))
        return number.value

    def names_and_values(self, kind, count, code):
        name, value = ctypes.create_string_buffer(64), ctypes.c_double()
        for index in range(1, self.count(count) + 1):
            check(getattr(self.lib, f"EN_get{kind}id")(self.handle, index, name))
            check(getattr(self.lib, f"EN_get{kind}value")(self.handle, index, code, ctypes.byref(value)))
            yield name.value.decode(), value.value

    def units(self):
        """Meters to the unit of head, liters per second to the unit of flow."""
        code = ctypes.c_int()
        check(self.lib.EN_getflowunits(self.handle, ctypes.byref(code)))
        return (0.3048, US[code.value]) if code.value in US else (1.0, SI[code.value])


def results(path):
    project = Project(path)
    project.tighten()
    project.solve()
    meters, liters = project.units()
    rows = [("node", name, head * meters) for name, head in project.names_and_values("node", NODE_COUNT, HEAD)]
    rows += [("link", name, flow * liters) for name, flow in project.names_and_values("link", LINK_COUNT, FLOW)]
    return rows


def text(path, rows):
    lines = [
        "# document: EPANET 2.2 (engine of wntr 1.5.0), accuracy 1e-8",
        f"# where: {path.name} at time 0; head of a node in m, flow of a link in L/s",
        "# status: computed",
        "kind,name,value",
    ]
    return "\n".join(lines + [f"{kind},{name},{value:.9g}" for kind, name, value in rows]) + "\n"


def main():
    compare = "--compare" in sys.argv[1:]
    moved = []
    for path in sorted(FOLDER.glob("*.inp")):
        rows = results(path)
        target = path.with_suffix(".csv")
        if not compare:
            target.write_text(text(path, rows))
            print(f"{path.name}: {len(rows)} values")
            continue
        kept = [line.split(",") for line in target.read_text().splitlines() if not line.startswith("#")][1:]
        same = len(kept) == len(rows) and all(
            (kind, name) == (row[0], row[1]) and math.isclose(value, float(row[2]), rel_tol=1e-6, abs_tol=1e-5)
            for (kind, name, value), row in zip(rows, kept)
        )
        print(f"{path.name}: {len(rows)} values {'as kept' if same else 'HAVE MOVED'}")
        if not same:
            moved.append(path.name)
    if moved:
        sys.exit(f"moved: {', '.join(moved)}")


if __name__ == "__main__":
    main()
