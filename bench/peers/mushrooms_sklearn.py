#!/usr/bin/python3
"""Peers of the check on the open table of 173 mushrooms.

    mushrooms_sklearn.py tests/ref/check [--folds N]

Four classifiers of scikit-learn tell edible from poisonous, and a plain rule
of elimination names what could still be it. Prints one JSON line a peer:

  seen    five folds over specimens, so that every species is in training:
          share right, poisonous specimens called edible, edible ones called so
  unseen  poisonous species held out whole, four at a time (--folds 24), all
          others in training: specimens of theirs called edible, and species
          of which more than half are

Two sets of columns are tried in the first: all, and those that two thirds of
the specimens have, as published work did. The better one by share right
goes on to the second. Letters are made one column a letter, a missing one
included. The rule of elimination needs no training: something is passed when
some edible species agrees in every known feature (ranges a quarter wider) and
every poisonous species disagrees in two at least.
"""
import csv
import json
import sys

import numpy as np
from sklearn.discriminant_analysis import LinearDiscriminantAnalysis
from sklearn.ensemble import RandomForestClassifier
from sklearn.linear_model import LogisticRegression
from sklearn.model_selection import StratifiedKFold
from sklearn.naive_bayes import GaussianNB
from sklearn.preprocessing import StandardScaler

EACH = 353
SIZES = ("cap-diameter", "stem-height", "stem-width")
# The smoothing of naive Bayes is the best of 1e-9 (the library's), 0.01, 0.1:
# a letter that one class never shows has no variance.
PEERS = {
    "gaussian_naive_bayes": lambda: GaussianNB(var_smoothing=0.01),
    "lda": LinearDiscriminantAnalysis,
    "logistic_regression": lambda: LogisticRegression(max_iter=1000),
    "random_forest": lambda: RandomForestClassifier(
        100, random_state=1, n_jobs=2),
}


def read(path):
    with open(path, encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file, delimiter=";"))
    return [name.lower() for name in rows[0]], rows[1:]


def columns(head, rows, least_known):
    out = []
    for c, name in enumerate(head[1:], start=1):
        cells = np.array([row[c] for row in rows])
        if np.mean(cells != "") < least_known:
            continue
        if name in SIZES:
            out.append(cells.astype(float)[:, None])
        else:
            out.append(np.stack([cells == v for v in np.unique(cells)], 1))
    x = np.hstack(out).astype(np.float32)
    return StandardScaler().fit_transform(x)


def seen(peer, x, edible):
    called = np.zeros(len(edible), bool)
    folds = StratifiedKFold(5, shuffle=True, random_state=1)
    for train, test in folds.split(x, edible):
        called[test] = PEERS[peer]().fit(x[train], edible[train]).predict(x[test])
    return {
        "accuracy": round(float(np.mean(called == edible)), 4),
        "poisonous_called_edible": int(np.sum(called & ~edible)),
        "coverage": round(float(np.mean(called[edible])), 4),
    }


def tell_unseen(called, species):
    shares = np.array([called[species == k].mean() for k in np.unique(species)])
    return {
        "unseen_called_edible": int(called.sum()),
        "unseen_specimens": int(called.size),
        "unseen_species_called_edible": int(np.sum(shares > 0.5)),
        "unseen_species": int(shares.size),
    }


def unseen(peer, x, edible, species, folds):
    poisonous = np.unique(species[~edible])
    called = np.zeros(len(edible), bool)
    for fold in range(folds):
        test = np.isin(species, poisonous[fold::folds])
        model = PEERS[peer]().fit(x[~test], edible[~test])
        called[test] = model.predict(x[test])
    return tell_unseen(called[~edible], species[~edible])


def elimination(head, rows, primary, edible, species):
    """How many known features of a specimen disagree with each species."""
    kinds = [(row[2] == "e", row[3:]) for row in primary]
    against = np.zeros((len(rows), len(kinds)), np.int16)
    for c, name in enumerate(head[1:]):
        cells = np.array([row[c + 1] for row in rows])
        for k, (_, fields) in enumerate(kinds):
            listed = fields[c].strip("[]").replace(" ", "").split(",")
            if listed == [""]:
                continue
            if name in SIZES:
                low, high = float(listed[0]), float(listed[-1])
                value = cells.astype(float)
                off = (value < 0.75 * low) | (value > 1.25 * high)
                against[:, k] += off
            else:
                against[:, k] += (cells != "") & ~np.isin(cells, listed)
    is_edible = np.array([kind[0] for kind in kinds])
    agrees = (against[:, is_edible] == 0).any(1)
    held = against.copy()
    held[np.arange(len(rows)), species] = 2  # its own species is not known
    passed = agrees & (against[:, ~is_edible] >= 2).all(1)
    passed_held = agrees & (held[:, ~is_edible] >= 2).all(1)
    out = {
        "poisonous_called_edible": int(np.sum(passed & ~edible)),
        "coverage": round(float(np.mean(passed[edible])), 4),
    }
    out.update(tell_unseen(passed_held[~edible], species[~edible]))
    return out


def main():
    folder = sys.argv[1]
    folds = int(sys.argv[3]) if sys.argv[2:3] == ["--folds"] else 24
    head, rows = read(folder + "/mushrooms_173_secondary.csv")
    _, primary = read(folder + "/mushrooms_173_primary.csv")
    edible = np.array([row[0] == "e" for row in rows])
    species = np.arange(len(rows)) // EACH
    rule = {"peer": "elimination"}
    rule.update(elimination(head, rows, primary, edible, species))
    print(json.dumps(rule), flush=True)
    sets = {"all": columns(head, rows, 0.0), "common": columns(head, rows, 2 / 3)}
    for peer in PEERS:
        tried = {name: seen(peer, x, edible) for name, x in sets.items()}
        best = max(tried, key=lambda name: tried[name]["accuracy"])
        line = {"peer": peer, "columns": best}
        line["accuracy_common"] = tried["common"]["accuracy"]
        line.update(tried[best])
        line.update(unseen(peer, sets[best], edible, species, folds))
        print(json.dumps(line), flush=True)


if __name__ == "__main__":
    main()
