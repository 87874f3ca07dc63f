"""Time of EPANET's own engine on the networks that the benchmark of `water` solves.

Out: one line a network, `cold/NAME` or `warm/NAME`, a tab, the median time of a solve in ns, a tab, its steps. Cold
begins from the engine's own first flows; warm changes one emitter or demand by a fifth and begins from the last flows.
Opening a file and planning are not counted. Needs the packages of requirements.txt.
"""

import ctypes
import pathlib
import time

from networks import FOLDER, Project, check

EMITTER, BASE_DEMAND, ITERATIONS = 3, 1, 0
KEEP_FLOWS, FIRST_FLOWS = 0, 10
# Name, what is changed at which node between warm solves, its value or None for the file's own, solves timed.
NETWORKS = [
    ("house-net-40", "HTUB", EMITTER, None, 4000),
    ("Net3", "15", BASE_DEMAND, 10.0, 2000),
    ("ky4", "J-273", BASE_DEMAND, 10.0, 200),
    ("Net6", "JUNCTION-3064", BASE_DEMAND, 10.0, 60),
]


def median(times):
    return sorted(times)[len(times) // 2]


def main():
    for name, node, code, base, solves in NETWORKS:
        project = Project(pathlib.Path(FOLDER) / f"{name}.inp")
        lib, handle = project.lib, project.handle
        lib.EN_setnodevalue.argtypes = [ctypes.c_void_p, ctypes.c_int, ctypes.c_int, ctypes.c_double]
        project.solve()
        index, value, steps, moment = ctypes.c_int(), ctypes.c_double(), ctypes.c_double(), ctypes.c_long()
        check(lib.EN_getnodeindex(handle, node.encode(), ctypes.byref(index)))
        check(lib.EN_getnodevalue(handle, index, code, ctypes.byref(value)))
        own = value.value if base is None else base
        for kind, flag in (("cold", FIRST_FLOWS), ("warm", KEEP_FLOWS)):
            times = []
            for turn in range(solves):
                if kind == "warm":
                    check(lib.EN_setnodevalue(handle, index.value, code, own * (1.2 if turn % 2 else 1.0)))
                begin = time.perf_counter_ns()
                lib.EN_initH(handle, flag)
                lib.EN_runH(handle, ctypes.byref(moment))
                times.append(time.perf_counter_ns() - begin)
            check(lib.EN_getstatistic(handle, ITERATIONS, ctypes.byref(steps)))
            print(f"{kind}/{name}\t{median(times)}\t{steps.value:.0f}", flush=True)


if __name__ == "__main__":
    main()
