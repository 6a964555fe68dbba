//! Vans and quarter cars that tests draw.

use mechanics::ride::*;
use proptest::prelude::*;

/// A quarter car, SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Quarter {
    pub(crate) sprung: f64,
    pub(crate) unsprung: f64,
    pub(crate) spring: f64,
    pub(crate) damper: f64,
    pub(crate) tyre: f64,
}

impl Quarter {
    /// A van of it, on tracks that are alike.
    pub(crate) fn van(&self) -> (Car<1>, [AxleRates<1>; 2]) {
        let [sprung, unsprung, spring, damper, tyre] =
            [self.sprung, self.unsprung, self.spring, self.damper, self.tyre].map(|value| Lanes([value]));
        let axle = AxleRates::independent(spring, damper, Lanes([0.0]));
        (Car::of_quarters(sprung, unsprung, tyre), [axle; 2])
    }
}

/// Quarter cars of light vans.
pub(crate) fn quarters() -> impl Strategy<Value = Quarter> {
    (300.0f64..900.0, 30.0f64..90.0, 15e3f64..80e3, 800.0f64..6_000.0, 120e3f64..350e3).prop_map(
        |(sprung, unsprung, spring, damper, tyre)| Quarter { sprung, unsprung, spring, damper, tyre },
    )
}

/// A light van, with a place on it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Van {
    pub(crate) car: Car<1>,
    pub(crate) axles: [AxleRates<1>; 2],
    pub(crate) seat: BodyPoint<1>,
}

/// Light vans of 3.4 m wheelbase, laden a little to one side, damped as vans are.
pub(crate) fn vans() -> impl Strategy<Value = Van> {
    let axle = || (25e3f64..60e3, 0.2f64..0.5, 0.0f64..25e3, 35.0f64..80.0);
    (1_500.0f64..3_000.0, 1.3f64..1.9, -0.06f64..0.06, 0.9f64..1.2, axle(), axle()).prop_map(
        |(mass, front, y, index, front_axle, rear_axle)| {
            let rear = 3.4 - front;
            let all = |value: f64| Lanes([value]);
            let (left, right) = (all(0.83 - y), all(-0.83 - y));
            let rates = |(spring, ratio, bar, _): (f64, f64, f64, f64)| {
                let damper = 2.0 * ratio * (spring * mass / 4.0).sqrt();
                AxleRates::independent(all(spring), all(damper), all(bar))
            };
            Van {
                car: Car {
                    sprung_mass_kg: all(mass),
                    pitch_inertia_kg_m2: all(index * mass * front * rear),
                    roll_inertia_kg_m2: all(0.5 * mass),
                    wheel_x_m: [all(front), all(-rear)],
                    wheel_y_m: [left, right, left, right],
                    unsprung_mass_kg: [all(front_axle.3), all(rear_axle.3)],
                    tyre_rate_n_per_m: [all(250e3), all(270e3)],
                    tipping_nm_per_rad: [all(0.0), all(12e3)],
                },
                axles: [rates(front_axle), rates(rear_axle)],
                seat: BodyPoint { x_m: all(0.7), y_m: all(0.4 - y) },
            }
        },
    )
}
