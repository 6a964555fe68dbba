"""Vans over humps by a general-purpose integrator: writes events_expected.csv from events_cases.json.

Needs numpy and scipy only, and nothing of the program. The equations of motion and the weighting Wk of ISO 2631-1
(continuous, from its parameters) are written out here by themselves and integrated by DOP853 with rtol 1e-10, piece by
piece between the kinks of the road; extremes are read from the dense output every 20 microseconds.
"""

import csv
import json
import pathlib

import numpy as np
from scipy.integrate import solve_ivp

HERE = pathlib.Path(__file__).parent
SAMPLE_S = 2e-5


def profile(hump):
    length, height = hump["length"], hump["height"]
    if hump["kind"] == "circular":
        radius = (length**2 / 4 + height**2) / (2 * height)
        inside = lambda x: np.sqrt(radius**2 - (x - length / 2) ** 2) - (radius - height)
        kinks = [0, length]
    elif hump["kind"] == "sinusoidal":
        inside = lambda x: height / 2 * (1 - np.cos(2 * np.pi * x / length))
        kinks = [0, length]
    else:
        ramp = hump["ramp"]
        inside = lambda x: height * np.clip(np.minimum(x, length - x) / ramp, 0, 1)
        kinks = [0, ramp, length - ramp, length]
    return (lambda x: np.where((x > 0) & (x < length), inside(np.clip(x, 0, length)), 0.0)), kinks


def wk_sections():
    w1, w2, w3, w4, w5, w6 = (2 * np.pi * np.array([0.4, 100, 12.5, 12.5, 2.37, 3.35])).tolist()
    q4, q5, q6, root = 0.63, 0.91, 0.91, np.sqrt(2)
    # numerator and denominator in rising powers of s, denominator's s^2 is 1
    return [
        ((0, 0, 1), (w1**2, root * w1)),
        ((w2**2, 0, 0), (w2**2, root * w2)),
        ((w4**2, w4**2 / w3, 0), (w4**2, w4 / q4)),
        ((w5**2, w5 / q5, 1), (w6**2, w6 / q6)),
    ]


SECTIONS = wk_sections()


class Van:
    def __init__(self, case, begins):
        self.van, self.axles, self.speed = case["van"], case["axles"], case["speed"]
        self.road, kinks = profile(case["hump"])
        self.begins = begins
        x = self.van["x"]
        self.x = np.array([x[0], x[0], x[1], x[1]])
        self.y = np.array(self.van["y"])
        self.delay = np.array([0, 0, x[0] - x[1], x[0] - x[1]])
        self.kink_times = sorted({(begins + back + kink) / self.speed for kink in kinks for back in (0, x[0] - x[1])})

    def moment(self, t, state):
        z, theta, phi = state[0:3]
        vz, vtheta, vphi = state[7:10]
        travel = state[3:7] - (z - self.x * theta + self.y * phi)
        speed = state[10:14] - (vz - self.x * vtheta + self.y * vphi)
        parts, on_body = np.zeros(4), np.zeros(4)
        for wheel in range(4):
            axle = self.axles[wheel // 2]
            w, v = travel[wheel], speed[wheel]
            gap, square, cube = axle["bump_stop"]
            e = max(0.0, w - gap)
            stop = e * e * (square + cube * e)
            gap, square, cube = axle["rebound_stop"]
            e = max(0.0, -w - gap)
            stop -= e * e * (square + cube * e)
            low, high = axle["bump"] if v >= 0 else axle["rebound"]
            damper = np.sign(v) * (low * min(abs(v), axle["knee"]) + high * max(0.0, abs(v) - axle["knee"]))
            parts[wheel] = axle["rate"] * w + stop + damper
            other = travel[wheel ^ 1]
            on_body[wheel] = parts[wheel] + axle["bar"] * (w - other)
        height = self.road(self.speed * t - self.delay - self.begins)
        rates = np.repeat(self.van["tyre"], 2)
        tyre = np.maximum(rates * (height - state[3:7]), -np.array(self.van["loads"]))
        acceleration = np.empty(7)
        acceleration[0] = on_body.sum() / self.van["mass"]
        acceleration[1] = (-(self.x * on_body).sum() + self.van["tipping"][0] * theta) / self.van["pitch_inertia"]
        acceleration[2] = ((self.y * on_body).sum() + self.van["tipping"][1] * phi) / self.van["roll_inertia"]
        acceleration[3:7] = (tyre - on_body) / np.repeat(self.van["unsprung"], 2)
        seat = self.van["seat"]
        felt = acceleration[0] - seat[0] * acceleration[1] + seat[1] * acceleration[2]
        return acceleration, travel, parts, tyre, felt

    @staticmethod
    def weighted(felt, memory):
        value, slopes = felt, []
        for (n, d), x in zip(SECTIONS, memory.reshape(4, 2)):
            slopes += [x[1], value - d[0] * x[0] - d[1] * x[1]]
            value = n[2] * value + (n[0] - n[2] * d[0]) * x[0] + (n[1] - n[2] * d[1]) * x[1]
        return value, slopes

    def slope(self, t, state):
        acceleration, *_, felt = self.moment(t, state)
        weighted, filter_slopes = self.weighted(felt, state[14:22])
        sums = [felt**2, weighted**2, weighted**4]
        return np.concatenate([state[7:14], acceleration, filter_slopes, sums])


def solve(case, begins, end):
    van = Van(case, begins)
    state, times, samples = np.zeros(25), [], []
    pieces = [0.0, *[t for t in van.kink_times if t < end], end]
    for start, stop in zip(pieces, pieces[1:]):
        solution = solve_ivp(van.slope, (start, stop), state, method="DOP853", rtol=1e-10, atol=1e-13,
                             max_step=1e-3, dense_output=True)
        state = solution.y[:, -1]
        grid = np.append(np.arange(start, stop, SAMPLE_S), stop)
        times.append(grid)
        samples.append(solution.sol(grid))
    times, samples = np.concatenate(times), np.concatenate(samples, axis=1)
    seen = [van.moment(t, samples[:, k]) for k, t in enumerate(times)]
    travel, parts, tyre = (np.array([moment[k] for moment in seen]) for k in (1, 2, 3))
    felt = np.array([moment[4] for moment in seen])
    rows = {
        "highest seat acceleration": felt.max(),
        "lowest seat acceleration": felt.min(),
        "rms seat acceleration": np.sqrt(state[22] / end),
        "rms weighted acceleration": np.sqrt(state[23] / end),
        "vibration dose": state[24] ** 0.25,
    }
    for wheel, name in enumerate(["front left", "front right", "rear left", "rear right"]):
        off = tyre[:, wheel] <= -van.van["loads"][wheel] * (1 - 1e-6)
        ends = np.flatnonzero(np.diff(np.concatenate([[False], off, [False]]).astype(int)))
        lifts = [times[min(b, len(times) - 1)] - times[a] for a, b in zip(ends[::2], ends[1::2])]
        rows[f"{name} bump travel"] = travel[:, wheel].max()
        rows[f"{name} rebound travel"] = travel[:, wheel].min()
        rows[f"{name} mount force"] = parts[:, wheel].max()
        rows[f"{name} least load"] = tyre[:, wheel].min()
        rows[f"{name} largest load"] = tyre[:, wheel].max()
        rows[f"{name} lift-offs"] = len(lifts)
        rows[f"{name} longest lift-off"] = max(lifts, default=0.0)
        touched = travel[:, wheel] > van.axles[wheel // 2]["bump_stop"][0]
        at_rest = 0.0 > van.axles[wheel // 2]["bump_stop"][0]
        rows[f"{name} stop hits"] = int(np.sum(touched & ~np.concatenate([[at_rest], touched[:-1]])))
    return rows


def main():
    cases = json.loads((HERE / "events_cases.json").read_text())
    with open(HERE / "events_expected.csv", "w", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["case", "quantity", "expected"])
        for case in cases["cases"]:
            for quantity, value in solve(case, cases["begins_m"], cases["end_s"]).items():
                table.writerow([case["name"], quantity, f"{value:.9g}"])


main()
