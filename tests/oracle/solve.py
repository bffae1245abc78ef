#!/usr/bin/env python3
"""Asks a general constraint solver about random plans, and compares with what the program says.

    solve.py PROGRAM SEEDS [SECONDS [replanned]]

PROGRAM is oventide_oracle; SEEDS are numbers and ranges: 3,6-10. With `replanned` it is asked about what is left of a
day on which things go wrong, and how few minutes late that can be. For each seed the model project.mzn is asked twice:
whether the program's schedule is correct and worth what the program says, and whether any schedule is better. The
verdicts: `proven`, the best by both; `same`, the best by the model, the program has no proof; `open`, not decided by
the model in SECONDS a question; `worse` than possible, but not said to be best. Exit code 0: no contradiction; 1:
there is one (`WRONG`); 77: minizinc is not installed, nothing was compared (CTest calls that skipped).
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
MODEL = os.path.join(HERE, "project.mzn")
# Ways to search, tried one after another for an equal share of the time: what one is slow at the other may be quick at.
SEARCHES = ["dom_w_deg, indomain_max", "first_fail, indomain_split"]
GOALS = {"overrun": 1, "alarm": 2, "waiting": 3}


def gaps(attended, end):
    """All of [0, end) in which nobody is there."""
    at, result = 0, []
    for interval in attended:
        if interval["from"] > at:
            result.append((at, interval["from"]))
        at = max(at, interval["to"])
    if at < end:
        result.append((at, end))
    return result


def demands_anything(demand):
    """An interval that is empty or turned round, whatever the times, demands nothing."""
    begin, end = demand["from"], demand["to"]
    return bool(demand["held_until"]) or begin["of"] != end["of"] or begin["offset"] < end["offset"]


def flatten(project):
    """The project as the flat arrays of the model; activities, resources and settings count from 1 there."""
    horizon = project["horizon"]
    late = 3 * horizon + 1000
    settings = len(project["settings"])
    resources = project["resources"]
    data = {"H": horizon, "R": len(resources), "S": settings, "reset_after": project["reset_after"]}
    activities = project["activities"]
    data["A"] = len(activities)
    data["duration"] = [a["duration"] for a in activities]
    data["stretchable"] = [a["stretchable"] for a in activities]
    data["keep"] = [min(a["keep"], horizon + 1) if a["keep"] is not None else horizon + 1 for a in activities]
    data["held_until"] = [a["held_until"] or 0 for a in activities]
    data["release"] = [a["release"] for a in activities]
    data["due"] = [horizon if a["due"] is None else min(a["due"], 2 * horizon) for a in activities]
    users = [(i + 1, u + 1) for i, a in enumerate(activities) for u in a["users"]]
    data["user_of"] = [u[0] for u in users]
    data["user"] = [u[1] for u in users]
    data["lag_from"] = [lag["from"] + 1 for lag in project["lags"]]
    data["lag_to"] = [lag["to"] + 1 for lag in project["lags"]]
    data["lag_by"] = [lag["lag"] for lag in project["lags"]]

    demands = [(i + 1, d if demands_anything(d) else {**d, "stages": [], "sealed": 0})
               for i, a in enumerate(activities) for d in a["demands"]]
    data["D"] = len(demands)
    data["d_act"] = [i for i, _ in demands]
    data["d_amount"] = [d["amount"] for _, d in demands]
    for end in ("from", "to"):
        data[f"d_{end}_end"] = [d[end]["of"] == "end" for _, d in demands]
        data[f"d_{end}"] = [d[end]["offset"] for _, d in demands]
    data["d_choices"] = [{r + 1 for r in d["choices"]} for _, d in demands]
    data["d_sealed"] = [d["sealed"] for _, d in demands]
    data["d_first"] = [d["stages"][0]["setting"] + 1 if d["stages"] else 0 for _, d in demands]
    held = [(k + 1, h + 1) for k, (_, d) in enumerate(demands) for h in d["held_until"]]
    data["held_demand"] = [h[0] for h in held]
    data["held_by"] = [h[1] for h in held]

    stages = []
    for k, (_, demand) in enumerate(demands):
        at = 0
        for stage in demand["stages"]:
            stages.append((k + 1, stage["setting"] + 1, at, at + stage["lasts"]))
            at += stage["lasts"]
    data["T"] = len(stages)
    for index, name in enumerate(("s_demand", "s_setting", "s_begin", "s_end")):
        data[name] = [stage[index] for stage in stages]

    data["most"] = [max(c["capacity"] for c in r["capacity"]) for r in resources]
    less = []
    for r, resource in enumerate(resources):
        steps = resource["capacity"]
        for k, step in enumerate(steps):
            end = steps[k + 1]["from"] if k + 1 < len(steps) else late
            if step["capacity"] < data["most"][r]:
                less.append((r + 1, step["from"], end, data["most"][r] - step["capacity"]))
    data["C"] = len(less)
    for index, name in enumerate(("c_res", "c_from", "c_to", "c_less")):
        data[name] = [each[index] for each in less]
    data["wakes"] = [r["wakes"] for r in resources]
    data["has_state"] = [r["state"] is not None for r in resources]
    data["self_starting"] = [bool(r["state"] and r["state"]["self_starting"]) for r in resources]
    data["exclusive"] = [s["exclusive"] for s in project["settings"]]
    none = [[0] * settings for _ in range(settings)]
    flat = [t for r in resources for row in (r["state"]["transition"] if r["state"] else none) for t in row]
    data["transition"] = f"array3d(1..{len(resources)},1..{settings},1..{settings},{written(flat)})"
    flat = [t for r in resources for t in (r["state"]["startup"] if r["state"] else [0] * settings)]
    data["startup"] = f"array2d(1..{len(resources)},1..{settings},{written(flat)})"

    away = gaps(project["attended"], horizon + 1)
    data["away_from"] = [a[0] for a in away]
    data["away_to"] = [a[1] for a in away]
    data["goals"] = [GOALS[g] for g in project["goals"]]
    foods = project["freshness"]
    data["F"] = len(foods)
    data["f_best"] = [f["best_within"] for f in foods]
    data["f_last"] = [-1 if f["last_time"] is None else f["last_time"] for f in foods]
    for key, prefix in (("makers", "fm"), ("users", "fu")):
        pairs = [(k + 1, a + 1) for k, f in enumerate(foods) for a in f[key]]
        data[f"{prefix}_food"] = [p[0] for p in pairs]
        data[f"{prefix}_act"] = [p[1] for p in pairs]
    links = project["links"]
    data["L"] = len(links)
    data["l_maker"] = [l["maker"] + 1 for l in links]
    data["l_user"] = [0 if l["user"] is None else l["user"] + 1 for l in links]
    data["l_time"] = [l["time"] for l in links]
    data["l_weight"] = [l["weight"] for l in links]
    return data


def written(value):
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "[" + ",".join(written(v) for v in value) + "]"
    if isinstance(value, set):
        return "{" + ",".join(written(v) for v in sorted(value)) + "}"
    return str(value)


def ask_once(data, model, seconds):
    """'yes' with the output, 'no', or 'unknown' where the time was over."""
    with tempfile.TemporaryDirectory() as folder:
        paths = os.path.join(folder, "project.mzn"), os.path.join(folder, "project.dzn")
        with open(paths[0], "w", encoding="utf-8") as file:
            file.write(model)
        with open(paths[1], "w", encoding="utf-8") as file:
            for name, value in data.items():
                file.write(f"{name} = {written(value)};\n")
        run = subprocess.run(["minizinc", "--solver", "gecode", "--time-limit", str(int(seconds * 1000)), *paths],
                             capture_output=True, text=True, check=False)
    if "UNSATISFIABLE" in run.stdout:
        return "no", ""
    if "----------" in run.stdout:
        return "yes", run.stdout
    if "UNKNOWN" in run.stdout or "=====" in run.stdout:
        return "unknown", ""
    raise RuntimeError(run.stdout + run.stderr)


def ask(data, seconds):
    """The same, by the first way to search that comes to an end."""
    with open(MODEL, encoding="utf-8") as file:
        model = file.read()
    if SEARCHES[0] not in model:
        raise RuntimeError(f"{MODEL} does not search by {SEARCHES[0]}")
    for search in SEARCHES:
        answer = ask_once(data, model.replace(SEARCHES[0], search), seconds / len(SEARCHES))
        if answer[0] != "unknown":
            return answer
    return "unknown", ""


def value_of(output):
    line = next(l for l in output.splitlines() if l.startswith("value"))
    return json.loads(line[len("value"):])


def search_for_better(data, goals, seconds):
    """The first goal in which a schedule can be better, with the others before it as they are."""
    verdict = "no", ""
    for goal in range(1, goals + 1):
        data["better"] = goal
        found = ask(data, seconds)
        if found[0] == "yes":
            return found
        if found[0] == "unknown":
            verdict = found
    return verdict


def compare(answer, seconds):
    """('proven' | 'same' | 'open' | 'worse' | 'WRONG', what)"""
    data = flatten(answer["project"])
    schedule = answer["schedule"]
    goals = len(answer["project"]["goals"])
    data["given_start"] = schedule["start"] if schedule else [0] * data["A"]
    chosen = [r for each in schedule["chosen"] for r in each] if schedule else [0] * data["D"]
    data["given_choice"] = [r + 1 for r in chosen]
    data["given_value"] = answer["value"] if schedule else [10**9] * 3
    if schedule:
        data["better"] = 0
        found, output = ask(data, 120)
        if found != "yes":
            return "WRONG", f"the model says of the schedule: {found}"
        if value_of(output) != answer["value"]:
            return "WRONG", f"the schedule is worth {value_of(output)}, not {answer['value']}"
    found, output = search_for_better(data, goals if schedule else 1, seconds)
    if found == "no":
        known = answer["optimal"] if schedule else answer["infeasible"]
        what = str(answer["value"]) if schedule else "no timetable"
        return ("proven" if known else "same"), what
    if found == "unknown":
        proven = answer["infeasible"] or answer["optimal"]
        return "open", "the model was not decided in time" + (", the program has a proof" if proven else "")
    best = value_of(output)
    if answer["infeasible"] or answer["optimal"] or best < answer["bound"]:
        return "WRONG", f"{best} is possible; the program says {answer['value'] if schedule else 'no timetable'}"
    return "worse", f"{best} is possible, the program found {answer['value'] if schedule else 'nothing'}"


def seeds_of(words):
    """3,6-10: [3, 6, 7, 8, 9, 10]"""
    seeds = []
    for word in words.split(","):
        first, _, last = word.partition("-")
        seeds += range(int(first), int(last or first) + 1)
    return seeds


def main():
    program, seeds = sys.argv[1], seeds_of(sys.argv[2])
    seconds = int(sys.argv[3]) if len(sys.argv) > 3 else 60
    if shutil.which("minizinc") is None:
        print("skipped: minizinc is not installed (apt-get install minizinc), so nothing was compared")
        return 77
    what = sys.argv[4] if len(sys.argv) > 4 else "20000"
    counts = {"proven": 0, "same": 0, "open": 0, "worse": 0, "WRONG": 0}
    for seed in seeds:
        run = subprocess.run([program, str(seed), what], capture_output=True, text=True, check=True)
        answer = json.loads(run.stdout)
        verdict, why = compare(answer, seconds)
        counts[verdict] += 1
        print(f"seed {seed}: {len(answer['project']['activities'])} activities: {verdict}: {why}", flush=True)
    print(", ".join(f"{count} {verdict}" for verdict, count in counts.items()))
    return 1 if counts["WRONG"] else 0


if __name__ == "__main__":
    sys.exit(main())
