"""Solves an input file with the EPANET engine that the package owa-epanet carries.

    engine.py INPUT TIMES           solves it so many times. An instruction counter cannot see the names in
                                    this library; what a second time adds is what a solution costs
    engine.py INPUT TIMES FLOWS     also prints how far the engine's flows are from those in the
                                    file FLOWS (L/s, one a line, in the order of the links), as a share of
                                    the greatest
"""
import ctypes
import importlib.metadata
import pathlib
import sys
import tempfile

FLOW = 8  # the engine's number for the flow in a link
SAVE_NOTHING_START_AFRESH = 10


def library():
    """The engine itself, which the package keeps beside its Python wrapper."""
    files = importlib.metadata.files("owa-epanet")
    path = next(file for file in files if "libepanet2" in file.name)
    return ctypes.CDLL(str(path.locate()))


def must(code):
    if code:
        sys.exit(f"the engine ends with {code}")


def main():
    network = pathlib.Path(sys.argv[1])
    engine = library()
    project, time = ctypes.c_void_p(), ctypes.c_long()
    must(engine.EN_createproject(ctypes.byref(project)))
    with tempfile.TemporaryDirectory() as folder:
        report, binary = (str(pathlib.Path(folder, name)).encode() for name in ("report", "binary"))
        must(engine.EN_open(project, str(network).encode(), report, binary))
        for _ in range(int(sys.argv[2])):
            must(engine.EN_openH(project))
            must(engine.EN_initH(project, SAVE_NOTHING_START_AFRESH))
            must(engine.EN_runH(project, ctypes.byref(time)))
            engine.EN_closeH(project)
        if len(sys.argv) > 3:
            compare(engine, project, pathlib.Path(sys.argv[3]))
        engine.EN_close(project)


def compare(engine, project, file):
    ours = [float(line) for line in file.read_text().split()]
    index, value = ctypes.c_int(), ctypes.c_double()
    theirs = []
    for at in range(len(ours)):
        must(engine.EN_getlinkindex(project, f"L{at}".encode(), ctypes.byref(index)))
        must(engine.EN_getlinkvalue(project, index, FLOW, ctypes.byref(value)))
        theirs.append(value.value)
    greatest = max(abs(flow) for flow in ours)
    apart = max(abs(a - b) for a, b in zip(ours, theirs)) / greatest
    print(f"{len(ours)} {100 * apart:.3f}")


main()
