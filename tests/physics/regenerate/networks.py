"""Flows and heads of the five networks: by the EPANET 2.2 engine, and by a dense Newton method on all
flows and heads at once with our friction law. The networks themselves are the tables of nodes, links
and states beside the results; only the results are written."""
import contextlib
import ctypes
import os
import tempfile

import numpy as np
import wntr
import wntr.epanet.toolkit as toolkit

import law
from table import read, write
from water_and_pipes import kinematic

SYSTEMS = {"two_pipe": 40, "microbore": 20, "one_pipe": 60, "ring": 75, "valves": 30}
FLOW, HEAD = 8, 10  # the engine's numbers for a link's flow and a node's head


def states(name):
    for state in read(f"networks/{name}_states.csv"):
        links = read(f"networks/{name}_links.csv")
        closed = set(filter(None, state["closed"].split(";")))
        losses = dict(pair.split("=") for pair in filter(None, state["losses"].split(";")))
        by_name = {link["link"]: link for link in links}
        for link, loss in losses.items():
            by_name[link]["loss"] = loss
        if state["reversed"] == "1":
            supply, back = by_name["HOSE_S"], by_name["HOSE_R"]
            supply["to"], back["from"] = back["from"], supply["to"]
        # A closed link is left out: the engine gives it a fixed resistance, through which it leaks.
        yield state["state"], links, [link for link in links if link["link"] not in closed]


def engine(nodes, links, viscosity):
    text = ["[JUNCTIONS]"] + [f"{n['node']} {n['elevation_m']} 0" for n in nodes if not n["fixed_head_m"]]
    text += ["[RESERVOIRS]"] + [f"{n['node']} {n['fixed_head_m']}" for n in nodes if n["fixed_head_m"]]
    text += ["[PIPES]"] + [
        " ".join([p["link"], p["from"], p["to"], p["length_m"], p["bore_mm"], p["roughness_mm"], p["loss"],
                  "CV" if p["kind"] == "cv" else "OPEN"]) for p in links if p["kind"] != "pump"]
    pumps = [p for p in links if p["kind"] == "pump"]
    text += ["[PUMPS]"] + [f"{p['link']} {p['from']} {p['to']} HEAD curve_{p['link']}" for p in pumps]
    text += ["[CURVES]"]
    for p in pumps:
        top, most = float(p["shut_off_m"]), float(p["greatest_l_s"])
        text += [f"curve_{p['link']} {q:.12g} {top * (1 - (q / most)**2):.12g}" for q in (0, most / 2, most)]
    text += ["[OPTIONS]", "UNITS LPS", "HEADLOSS D-W", f"VISCOSITY {viscosity:.12g}", "SPECIFIC GRAVITY 1", "TRIALS 400",
             "ACCURACY 1e-5", "HEADERROR 1e-6", "FLOWCHANGE 1e-6", "[TIMES]", "DURATION 0", "[END]"]
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        with open("net.inp", "w") as file:
            file.write("\n".join(text) + "\n")
        project = toolkit.ENepanet(version=2.2)
        project.ENopen("net.inp", "net.rpt", "net.bin")
        library, handle = project.ENlib, project._project
        # A warning that a pump stands against too high a head, or that a node is cut off, is true.
        code = library.EN_solveH(handle)
        if code not in (0, 3, 4):
            raise RuntimeError(f"the engine ends with {code}")
        index, value = ctypes.c_int(), ctypes.c_double()

        def ask(find, get, name, what):
            assert find(handle, name.encode(), ctypes.byref(index)) == 0
            get(handle, index, what, ctypes.byref(value))
            return value.value
        flows = {p["link"]: ask(library.EN_getlinkindex, library.EN_getlinkvalue, p["link"], FLOW) for p in links}
        heads = {n["node"]: ask(library.EN_getnodeindex, library.EN_getnodevalue, n["node"], HEAD) for n in nodes}
        library.EN_close(handle)
        library.EN_deleteproject(handle)
    return flows, heads


def loss(link, flow, viscosity):
    if link["kind"] == "pump":
        top, most = float(link["shut_off_m"]), float(link["greatest_l_s"]) / 1000
        return top * (flow * abs(flow) / most**2 - 1)
    return law.head(flow, float(link["length_m"]), float(link["bore_mm"]) / 1000, float(link["roughness_mm"]) / 1000,
                    float(link["loss"]), viscosity)


def dense(nodes, links, viscosity):
    fixed = {n["node"]: float(n["fixed_head_m"]) for n in nodes if n["fixed_head_m"]}
    reached, grew = set(fixed), True
    while grew:
        more = {end for p in links for end in (p["from"], p["to"]) if {p["from"], p["to"]} & reached} - reached
        reached |= more
        grew = bool(more)
    links = [p for p in links if p["from"] in reached]
    free = [n["node"] for n in nodes if n["node"] in reached and n["node"] not in fixed]
    ends = np.zeros((len(links), len(free)))
    known = np.zeros(len(links))
    for at, p in enumerate(links):
        for node, sign in ((p["from"], 1), (p["to"], -1)):
            if node in fixed:
                known[at] += sign * fixed[node]
            else:
                ends[at, free.index(node)] += sign
    flows, heads = np.full(len(links), 1e-4), np.zeros(len(free))
    for turn in range(500):
        losses = np.array([loss(p, q, viscosity) for p, q in zip(links, flows)])
        step = np.maximum(np.abs(flows) * 1e-6, 1e-12)
        slopes = np.array([(loss(p, q + d, viscosity) - loss(p, q - d, viscosity)) / (2 * d)
                           for p, q, d in zip(links, flows, step)])
        matrix = np.block([[np.diag(-np.maximum(slopes, 1e-3)), ends], [ends.T, np.zeros((len(free), len(free)))]])
        miss = np.concatenate([losses - ends @ heads - known, -ends.T @ flows])
        change = np.linalg.solve(matrix, miss)
        share = 1.0 if turn < 30 else 0.5
        flows += share * change[:len(links)]
        heads += share * change[len(links):]
        if np.abs(change[:len(links)]).sum() < 1e-11 * np.abs(flows).sum() and np.abs(miss).max() < 1e-9:
            backwards = [p for p, q in zip(links, flows) if p["kind"] == "cv" and q < -1e-12]
            if backwards:
                # The worst one is shut, and the rest is solved again. None of these systems needs one
                # that was shut to open again, as the comparison with the engine shows.
                worst = min(zip(flows, (p["link"] for p in links), (p["kind"] for p in links)),
                            key=lambda entry: entry[0] if entry[2] == "cv" else 0)[1]
                return dense(nodes, [p for p in links if p["link"] != worst], viscosity)
            names = dict(zip(free, heads)) | {node: head for node, head in fixed.items()}
            return dict(zip((p["link"] for p in links), flows)), names
    raise RuntimeError("did not settle")


def settled(value):
    """Rounding leaves a crumb where nothing flows."""
    return 0.0 if abs(value) < 1e-9 else value


def main():
    comment = [f"By the EPANET 2.2 engine in wntr {wntr.__version__} (Darcy and Weisbach's head loss; g is 9.81456 there, and the",
               "turbulent law Swamee and Jain's), and by a dense solver with our own friction law and g."]
    for name, celsius in SYSTEMS.items():
        viscosity = kinematic(celsius)
        nodes = read(f"networks/{name}_nodes.csv")
        flow_rows, head_rows = [], []
        for state, every, links in states(name):
            theirs, their_heads = engine(nodes, links, viscosity)
            ours, our_heads = dense(nodes, links, viscosity)
            for p in every:
                flow_rows.append([state, p["link"], f"{settled(theirs.get(p['link'], 0)):.8f}",
                                  f"{settled(1000 * ours.get(p['link'], 0)):.8f}"])
            for n in nodes:
                known = n["node"] in our_heads
                head_rows.append([state, n["node"], f"{their_heads[n['node']]:.6f}" if known else "",
                                  f"{our_heads[n['node']]:.6f}" if known else ""])
        write(f"networks/{name}_flows.csv", comment, ["state", "link", "epanet_l_s", "same_law_l_s"], flow_rows)
        write(f"networks/{name}_heads.csv", comment, ["state", "node", "epanet_m", "same_law_m"], head_rows)


if __name__ == "__main__":
    main()
