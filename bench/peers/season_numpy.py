#!/usr/bin/python3
"""The season kernel's equations in numpy, vectorised over cells.

    season_numpy.py FOLDER [--rounds N]

Reads what `bench_season KIND CELLS DAYS FOLDER` wrote, runs the same model in
double precision, and prints one JSON line: cell-days per second (best of
rounds, best of several chunk sizes) and the largest difference from the C
result. Processor time of one core. Every array operation writes into a buffer made beforehand; what does
not depend on the cell is taken out of the loop; nothing is checked for NaN.
"""
import json
import math
import sys
import time

import numpy as np

YEAR_D = 365.2425


def load(folder):
    params = {}
    with open(folder + "/params.txt", encoding="ascii") as f:
        for line in f:
            name, value = line.split()
            params[name] = float(value)
    cells, days = int(params["cells"]), int(params["days"])
    data = {}
    for name in ("water", "soil", "tmin", "tmax", "day_length", "density"):
        data[name] = np.fromfile(folder + "/" + name + ".f64").reshape(days, cells)
    data["day_of_year"] = np.fromfile(folder + "/day_of_year.f64")
    return params, data


def bounded_exp(x):
    return math.exp(min(max(x, -150.0), 150.0))


def gates(p, day_of_year):
    start, end, s = p["gate_start_doy"], p["gate_end_doy"], p["gate_scale_d"]
    length = math.fmod(end - start + 4.0 * YEAR_D, YEAR_D)
    out = []
    for d in day_of_year:
        x = math.remainder(d - (start + 0.5 * length), YEAR_D)
        out.append(1.0 / ((1.0 + bounded_exp(-(x + 0.5 * length) / s))
                          * (1.0 + bounded_exp((x - 0.5 * length) / s))))
    return out


def logistic_denominator(a, b, x, out):
    """1 + exp(clip(a + b x)), three passes and a clip."""
    np.multiply(x, b, out=out)
    np.add(out, a, out=out)
    np.clip(out, -150.0, 150.0, out=out)
    np.exp(out, out=out)
    np.add(out, 1.0, out=out)


def run_fungus(p, data, part, density, buffers):
    direction = p["trigger_direction"]
    has_trigger = direction != 0.0
    soil_min, best, soil_max = (p["soil_min_degc"], p["soil_best_degc"],
                                p["soil_max_degc"])
    inv_rise, inv_fall = 1.0 / (best - soil_min), 1.0 / (soil_max - best)
    power = (best - soil_min) / (soil_max - best)
    water_a = p["water_half_frac"] / p["water_scale_frac"]
    water_b = -1.0 / p["water_scale_frac"]
    level_a = -direction * p["trigger_degc"] / p["trigger_scale_k"]
    level_b = 1.0 / p["trigger_scale_k"]
    change_a = p["trigger_change_k"] / p["trigger_change_scale_k"]
    change_b = -1.0 / p["trigger_change_scale_k"]
    start_rate = (1.0 + bounded_exp(water_a + water_b)) / p["life_d"]
    wear_rate = 1.0 / p["life_d"]
    wear_b = math.log(p["life_q10"]) / 10.0
    wear_a = -wear_b * best
    drought, frost_rate = p["life_drought"], p["frost_rate_per_d"]
    frost_a = -p["frost_degc"] / p["frost_scale_k"]
    frost_b = 1.0 / p["frost_scale_k"]
    ripen_base, ripen_rate = p["ripen_base_degc"], 4.0 / p["ripen_dd"]
    smooth, forget = 1.0 - math.exp(-1.0 / 7.0), 1.0 - math.exp(-1.0 / 30.0)
    gate = gates(p, data["day_of_year"])

    (smoothed, high, s0, s1, s2, s3, standing, u, den, t, h, r,
     p0, p1, p2, p3, before, ripe, loss) = buffers
    for buffer in (s0, s1, s2, s3, standing):
        buffer.fill(0.0)
    smoothed[:] = data["soil"][0, part]
    np.multiply(smoothed, direction, out=high)

    for d in range(len(gate)):
        w, soil = data["water"][d, part], data["soil"][d, part]
        # initiation
        logistic_denominator(water_a, water_b, w, den)
        if has_trigger:
            np.subtract(soil, smoothed, out=t)
            np.multiply(t, smooth, out=t)
            np.add(smoothed, t, out=smoothed)
            np.multiply(smoothed, direction, out=u)
            np.subtract(u, high, out=t)
            np.multiply(t, forget, out=t)
            np.add(high, t, out=high)
            np.maximum(high, u, out=high)
            logistic_denominator(level_a, level_b, u, t)
            np.multiply(den, t, out=den)
            np.subtract(high, u, out=u)
            logistic_denominator(change_a, change_b, u, t)
            np.multiply(den, t, out=den)
        np.subtract(soil, soil_min, out=h)
        np.multiply(h, inv_rise, out=h)
        np.maximum(h, 1e-30, out=h)
        np.log(h, out=h)
        np.multiply(h, power, out=h)
        np.exp(h, out=h)
        np.subtract(soil_max, soil, out=t)
        np.multiply(t, inv_fall * gate[d] * start_rate, out=t)
        np.maximum(t, 0.0, out=t)
        np.multiply(h, t, out=h)
        np.divide(h, den, out=h)
        # ripening
        np.subtract(soil, ripen_base, out=r)
        np.maximum(r, 0.0, out=r)
        np.multiply(r, ripen_rate, out=r)
        np.negative(r, out=p0)
        np.exp(p0, out=p0)
        np.multiply(r, p0, out=p1)
        np.multiply(r, 0.5, out=p2)
        np.multiply(p2, p1, out=p2)
        np.multiply(r, 1.0 / 3.0, out=p3)
        np.multiply(p3, p2, out=p3)
        np.add(s0, s1, out=before)
        np.add(before, s2, out=before)
        np.add(before, s3, out=before)
        np.multiply(s3, p0, out=s3)
        np.multiply(s2, p1, out=t)
        np.add(s3, t, out=s3)
        np.multiply(s1, p2, out=t)
        np.add(s3, t, out=s3)
        np.multiply(s0, p3, out=t)
        np.add(s3, t, out=s3)
        np.multiply(s2, p0, out=s2)
        np.multiply(s1, p1, out=t)
        np.add(s2, t, out=s2)
        np.multiply(s0, p2, out=t)
        np.add(s2, t, out=s2)
        np.multiply(s1, p0, out=s1)
        np.multiply(s0, p1, out=t)
        np.add(s1, t, out=s1)
        np.multiply(s0, p0, out=s0)
        np.subtract(before, s0, out=ripe)
        np.subtract(ripe, s1, out=ripe)
        np.subtract(ripe, s2, out=ripe)
        np.subtract(ripe, s3, out=ripe)
        np.maximum(ripe, 0.0, out=ripe)
        np.add(s0, h, out=s0)
        # wear and frost
        np.multiply(soil, wear_b, out=loss)
        np.add(loss, wear_a, out=loss)
        np.exp(loss, out=loss)
        np.multiply(w, -drought * wear_rate, out=t)
        np.add(t, (1.0 + drought) * wear_rate, out=t)
        np.multiply(loss, t, out=loss)
        logistic_denominator(frost_a, frost_b, data["tmin"][d, part], t)
        np.divide(frost_rate, t, out=t)
        np.add(loss, t, out=loss)
        np.negative(loss, out=t)
        np.exp(t, out=t)
        np.multiply(standing, t, out=standing)
        np.subtract(1.0, t, out=t)
        np.divide(t, loss, out=t)
        np.multiply(ripe, t, out=t)
        np.add(standing, t, out=standing)
        density[d, part] = standing


def sine_above(mean, half, threshold, cut, theta, out):
    np.subtract(threshold, mean, out=cut)
    np.divide(cut, half, out=cut)
    np.clip(cut, -1.0, 1.0, out=cut)
    np.arccos(cut, out=theta)  # pi/2 - arcsin
    np.subtract(mean, threshold, out=out)
    np.multiply(out, theta, out=out)
    np.multiply(cut, cut, out=cut)
    np.subtract(1.0, cut, out=cut)
    np.sqrt(cut, out=cut)
    np.multiply(half, cut, out=cut)
    np.add(out, cut, out=out)
    np.multiply(out, 1.0 / math.pi, out=out)


def run_plant(p, data, part, density, buffers):
    photo = p["photo_direction"]
    reach_a = p["stage_start_dd"] / p["stage_start_spread_dd"]
    reach_b = -1.0 / p["stage_start_spread_dd"]
    pass_a = p["stage_end_dd"] / p["stage_end_spread_dd"]
    pass_b = -1.0 / p["stage_end_spread_dd"]
    frost_a = -p["frost_degc"] / p["frost_scale_k"]
    frost_b = 1.0 / p["frost_scale_k"]
    wear_rate = 1.0 / p["life_d"]
    total, reached, standing, mean, half, a, b, cut, theta = buffers[:9]
    for buffer in (total, reached, standing):
        buffer.fill(np.nan)
    for d, doy in enumerate(data["day_of_year"]):
        if doy == p["start_doy"]:
            for buffer in (total, reached, standing):
                buffer.fill(0.0)
        tmin, tmax = data["tmin"][d, part], data["tmax"][d, part]
        np.add(tmax, tmin, out=mean)
        np.multiply(mean, 0.5, out=mean)
        np.subtract(tmax, tmin, out=half)
        np.multiply(half, 0.5, out=half)
        np.maximum(half, 1e-9, out=half)
        sine_above(mean, half, p["base_degc"], cut, theta, a)
        if tmax.max() > p["upper_degc"]:
            sine_above(mean, half, p["upper_degc"], cut, theta, b)
            np.subtract(a, b, out=a)
        if photo != 0.0:
            logistic_denominator(-photo * p["photo_h"] / p["photo_scale_h"],
                                 photo / p["photo_scale_h"],
                                 data["day_length"][d, part], b)
            np.divide(a, b, out=a)
        np.add(total, a, out=total)
        logistic_denominator(reach_a, reach_b, total, a)
        np.reciprocal(a, out=a)
        np.subtract(a, reached, out=b)
        np.copyto(reached, a)
        logistic_denominator(frost_a, frost_b, tmin, a)
        np.divide(-p["frost_rate_per_d"], a, out=a)
        np.subtract(a, wear_rate, out=a)
        np.exp(a, out=a)
        np.multiply(standing, a, out=standing)
        np.add(standing, b, out=standing)
        logistic_denominator(pass_a, pass_b, total, a)
        np.reciprocal(a, out=a)
        np.subtract(1.0, a, out=a)
        np.multiply(standing, a, out=density[d, part])


def run(p, data, density, chunk):
    cells = density.shape[1]
    step = run_fungus if p["model"] == 0 else run_plant
    for first in range(0, cells, chunk):
        size = min(chunk, cells - first)
        buffers = [np.empty(size) for _ in range(19)]
        step(p, data, slice(first, first + size), density, buffers)


def main():
    folder = sys.argv[1]
    rounds = int(sys.argv[sys.argv.index("--rounds") + 1]) if "--rounds" in sys.argv else 3
    p, data = load(folder)
    days, cells = data["density"].shape
    density = np.empty((days, cells))
    best, best_chunk = math.inf, 0
    for chunk in sorted({min(c, cells) for c in (512, 1024, 2048, 4096)}):
        for _ in range(rounds):
            start = time.process_time()
            run(p, data, density, chunk)
            took = time.process_time() - start
            if took < best:
                best, best_chunk = took, chunk
    want = data["density"]
    if not np.array_equal(np.isnan(density), np.isnan(want)):
        print("season_numpy: the unknown days differ", file=sys.stderr)
        return 1
    scale = np.maximum(np.abs(want), 1.0)
    worst = float(np.nanmax(np.abs(density - want) / scale))
    print(json.dumps({"peer": "numpy " + np.__version__, "cells": cells,
                      "days": days, "chunk": best_chunk,
                      "best_cpu_s": round(best, 6),
                      "cell_days_per_s": float("%.4g" % (cells * days / best)),
                      "max_difference": worst}))
    return 0 if worst <= 1e-9 else 1


if __name__ == "__main__":
    sys.exit(main())
