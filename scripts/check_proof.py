#!/usr/bin/python3
"""Writes the tables of docs/check-proof.md from what the proofs printed.

    check_proof.py FOLDER docs/check-proof.md

FOLDER holds guide.txt, mushrooms.txt, peers.txt and bench.txt, as
scripts/check_proof.sh left them. Only what stands between a line
<!-- NAME --> and the next <!-- end --> is replaced; words stay as they are.
"""
import json
import re
import sys

PEERS = {
    "elimination": "plain elimination",
    "gaussian_naive_bayes": "Gaussian naive Bayes",
    "lda": "linear discriminants",
    "logistic_regression": "logistic regression",
    "random_forest": "random forest",
}


def lines_of(path):
    with open(path, encoding="utf-8") as file:
        return file.read().splitlines()


def json_lines(path):
    return [json.loads(line) for line in lines_of(path) if line.startswith("{")]


def percent(share, digits=1):
    return f"{100 * share:.{digits}f} %"


def row(*cells):
    return "| " + " | ".join(str(cell) for cell in cells) + " |"


def table(head, rows):
    return [row(*head), "|" + "---|" * len(head)] + [row(*r) for r in rows]


def versus(ours, peers):
    head = ("", "right", "poisonous passed, kind known", "edible passed",
            "poisonous passed, kind unknown", "kinds of 96, unknown, passed")
    rest = ours["passed_held_out"] / ours["poisonous"]
    rows = [("**the check**", percent(ours["top_1"], 2),
             f"**{ours['passed_listed']}**", percent(ours["coverage_own"]),
             f"**{ours['passed_held_out']}** ({percent(rest, 2)})",
             f"**{ours['species_held_out']}**")]
    for peer in peers:
        share = peer["unseen_called_edible"] / peer["unseen_specimens"]
        rows.append((
            PEERS[peer["peer"]],
            percent(peer["accuracy"]) if "accuracy" in peer else "-",
            peer["poisonous_called_edible"], percent(peer["coverage"]),
            f"{peer['unseen_called_edible']} ({percent(share, 2)})",
            peer["unseen_species_called_edible"]))
    return table(head, rows)


def ways(ours):
    total = ours["poisonous"]

    def passed(name):
        count = ours["passed_" + name]
        return f"{count} ({percent(count / total, 3)})"

    rows = [
        ("as simulated", passed("listed"), percent(ours["coverage_own"], 2),
         passed("held_out"), percent(ours["coverage_held_out"], 2)),
        ("1 in 20 answers wrong", passed("wrong_5"),
         percent(ours["coverage_wrong_5"], 2), passed("held_out_wrong_5"), "-"),
        ("1 in 10 answers wrong", passed("wrong_10"),
         percent(ours["coverage_wrong_10"], 2), "-", "-"),
        ("missing answers as the wanted kind has them", passed("filled"), "-",
         passed("held_out_filled"), "-"),
    ]
    return table(("answers", "poisonous passed, kind known", "edible passed",
                  "poisonous passed, kind unknown", "edible passed"), rows)


def section(lines, title):
    start = next(i for i, line in enumerate(lines) if line.startswith(title))
    end = start + 1
    while end < len(lines) and lines[end].startswith("  "):
        end += 1
    return lines[start + 1:end]


def pairs(lines):
    form = re.compile(r"  (.+?)\s+as (.+?)\s+(\d+) of (\d+)\s+(.*)")
    titles = (
        ("kind unknown", "each poisonous species held out"),
        ("kind known, 1 in 20 wrong", "species in the guide, 5 %"),
        ("kind known, 1 in 10 wrong", "species in the guide, 10 %"),
        ("kind unknown, 1 in 20 wrong", "held out, 5 %"),
        ("kind unknown, missing answers filled", "held out, missing"),
    )
    rows = []
    for name, title in titles:
        found = [form.fullmatch(line) for line in section(lines, title)]
        rows += [(name, m[1], m[2], f"{m[3]} of {m[4]}",
                  m[5].removeprefix("told by "))
                 for m in found if m]
    return table(("run", "poisonous", "passed as", "specimens", "told by"), rows)


def inseparable(lines):
    form = re.compile(r"  (.+?)\s+and (.+?)\s+best (.*), overlap (.*)")
    found = [form.fullmatch(line) for line in
             section(lines, "pairs that no feature")]
    return table(("poisonous", "edible", "least alike in", "overlap"),
                 [m.groups() for m in found if m])


def seldom(lines):
    form = re.compile(r"  (.+?)\s+(\d+ of \d+)")
    found = [form.fullmatch(line) for line in
             section(lines, "edible species of which")]
    return table(("edible", "specimens passed"), [m.groups() for m in found if m])


def guide(found):
    rows = [(("none wrong", "1 in 20 wrong", "1 in 10 wrong")[rate],
             *(found[f"{way}_{5 * rate}"] for way in
               ("told", "least", "picked", "filled")))
            for rate in (0, 1, 2)]
    head = [f"{found['kinds']} kinds: {found['gathered']} gathered, "
            f"{found['experts']} of them for experts only. A perfect specimen "
            f"opens its own gate for {found['perfect_open']} of them. Dangerous "
            f"specimens drawn: {found['dangerous']}. Of gathered specimens "
            f"drawn without a slip {percent(found['own_open'])} pass their own "
            f"gate. With the dangerous kind taken out of the guide "
            f"{found['held_out']} of its specimens passed, all told, without a "
            f"slip.", ""]
    return head + table(("answers", "all told", "least", "picked", "filled"),
                        rows)


def bench(found):
    rows = [(f["kinds"], f["features"], f["median_us"], f["p90_us"],
             f["answer_median_us"], f["next_median_us"]) for f in found]
    return table(("kinds", "features", "median, us", "nine in ten, us",
                  "of it the answer", "of it the next question"), rows)


def main():
    folder, page = sys.argv[1:]
    lines = lines_of(folder + "/mushrooms.txt")
    ours = json_lines(folder + "/mushrooms.txt")[-1]
    new = {
        "versus": versus(ours, json_lines(folder + "/peers.txt")),
        "ways": ways(ours),
        "pairs": pairs(lines),
        "inseparable": inseparable(lines),
        "seldom": seldom(lines),
        "guide": guide(json_lines(folder + "/guide.txt")[-1]),
        "bench": bench(json_lines(folder + "/bench.txt")),
    }
    with open(page, encoding="utf-8") as file:
        text = file.read()
    for name, rows in new.items():
        mark = f"<!-- {name} -->\n"
        if mark not in text:
            sys.exit(f"check_proof.py: {page} has no line {mark.strip()}")
        before, after = text.split(mark, 1)
        after = after[after.index("<!-- end -->"):]
        text = before + mark + "\n".join(rows) + "\n" + after
    with open(page, "w", encoding="utf-8") as file:
        file.write(text)


if __name__ == "__main__":
    main()
