"""Writes oracle.json: quantiles of Student's t, and posteriors found by integrating prior times likelihood over mean and
variance on a grid, without the formulas of the package. Needs numpy and scipy (python3-scipy of Debian 12, 1.10.1).

    python3 oracle.py > oracle.json
"""
import json

import numpy as np
from scipy import integrate, special, stats


def posterior(centre, jobs, spread, ratios, weights, logarithmic):
    """Mean and 5 % and 95 % quantiles of the centre, on the scale."""
    y = np.log(ratios) if logarithmic else np.array(ratios)
    c = np.log(centre) if logarithmic else centre
    w = np.array(weights) / np.sum(weights) * len(weights)
    about = np.average(y, weights=w)
    width = spread + np.sqrt(np.average((y - about) ** 2, weights=w)) + abs(about - c)
    theta = np.linspace(min(c, about) - 12 * width, max(c, about) + 12 * width, 20001)
    logvar = np.linspace(np.log(width**2) - 14, np.log(width**2) + 14, 1201)
    total = np.zeros_like(theta)
    top = None
    logs = []
    for lv in logvar:
        var = np.exp(lv)
        # scaled inverse chi-squared of the variance (times var: the grid is of its logarithm), normal of the mean
        log = stats.invgamma.logpdf(var, jobs / 2, scale=jobs * spread**2 / 2) + lv
        log += stats.norm.logpdf(theta, c, np.sqrt(var / jobs))
        squares = np.sum(w) * (theta - about) ** 2 + np.sum(w * (y - about) ** 2)
        log += -len(y) / 2 * lv - squares / 2 / var
        logs.append(log)
        top = np.max(log) if top is None else max(top, np.max(log))
    for log in logs:
        total += np.exp(log - top)
    total /= integrate.trapezoid(total, theta)
    below = integrate.cumulative_trapezoid(total, theta, initial=0)
    mean = integrate.trapezoid(total * theta, theta)
    return mean, np.interp(0.05, below, theta), np.interp(0.95, below, theta)


def student(n):
    """By the incomplete beta function: stats.t.ppf of that version is good to nine digits only."""
    return float(np.sqrt(n * (1 / special.betaincinv(n / 2, 0.5, 0.1) - 1)))


def main():
    rng = np.random.default_rng(11)
    cases = []
    for n in (1, 2, 3, 5, 8, 13, 40):
        for logarithmic in (False, True):
            centre, jobs, spread = round(rng.uniform(0.9, 1.4), 3), int(rng.integers(1, 9)), round(rng.uniform(0.05, 0.4), 3)
            ratios = [round(float(r), 4) for r in centre * np.exp(rng.normal(0.1, 0.2, n))]
            weights = [round(float(w), 3) for w in rng.uniform(0.2, 5, n)]
            mean, low, high = posterior(centre, jobs, spread, ratios, weights, logarithmic)
            cases.append(dict(logarithmic=logarithmic, centre=centre, jobs=jobs, spread=spread, ratios=ratios, weights=weights, middle=mean, low=low, high=high))
    degrees = [*range(1, 61), 75, 99, 100, 128, 257, 500, 1000, 4999, 10000, 20500]
    print(json.dumps(dict(student={n: student(n) for n in degrees}, posteriors=cases), indent=1))


main()
