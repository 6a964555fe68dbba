//! Numbers along an axis.

/// A straight axis: from values to places in the drawing.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scale {
    values: [f64; 2],
    places: [f64; 2],
}

impl Scale {
    /// An axis over the given values, at least `least` wide and a little beyond them.
    pub(crate) fn over(values: impl Iterator<Item = f64>, least: f64, places: [f64; 2]) -> Self {
        let (low, high) =
            values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        let (middle, half) = (0.5 * (low + high), (0.5 * (high - low)).max(0.5 * least));
        Self { values: [middle - 1.06 * half, middle + 1.06 * half], places }
    }

    pub(crate) fn at(&self, value: f64) -> f64 {
        let [low, high] = self.values;
        let [from, to] = self.places;
        from + (value - low) / (high - low) * (to - from)
    }

    /// Numbers that are round in a unit, each with its value; `one` of the unit is so much.
    pub(crate) fn ticks_in(&self, wanted: f64, one: f64) -> Vec<[f64; 2]> {
        let scale = Self { values: self.values.map(|value| value / one), ..*self };
        scale.ticks(wanted).into_iter().map(|tick| [tick, tick * one]).collect()
    }

    /// Round values along the axis, about `wanted` of them, none where the axis is no number.
    pub(crate) fn ticks(&self, wanted: f64) -> Vec<f64> {
        let [low, high] = self.values;
        let rough = (high - low) / wanted;
        if !(rough.is_finite() && rough > 0.0) {
            return Vec::new();
        }
        let power = 10_f64.powf(rough.log10().floor());
        let step =
            [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * power).find(|s| *s >= rough).unwrap_or(rough);
        let first = (low / step).ceil();
        (0..50).map(|k| (first + f64::from(k)) * step).take_while(|tick| *tick <= high).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_ticks_are_round_and_within_the_axis() {
        let scale = Scale::over([-13.0, 71.0].into_iter(), 10.0, [0.0, 100.0]);
        assert_eq!(scale.ticks(5.0), vec![0.0, 20.0, 40.0, 60.0]);
        assert!((scale.at(29.0) - 50.0).abs() < 1e-9);
        let inches = scale.ticks_in(5.0, 25.4);
        assert_eq!(inches.iter().map(|[tick, _]| *tick).collect::<Vec<f64>>(), vec![0.0, 1.0, 2.0]);
        assert!(inches.iter().all(|[tick, mm]| (*mm - tick * 25.4).abs() < 1e-12));
        assert!(Scale::over([f64::NAN].into_iter(), f64::NAN, [0.0, 1.0]).ticks(5.0).is_empty());
    }
}
