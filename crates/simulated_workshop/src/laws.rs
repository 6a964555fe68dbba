//! Laws of elements as broken lines, and their energies.

/// A rising force over compression, straight between its points, from (0, 0); carried on straight beyond the last.
#[derive(Debug, Clone)]
pub struct BrokenLine {
    /// Compression (m), force (N), energy (J) at each point.
    points: Vec<[f64; 3]>,
}

impl BrokenLine {
    /// Through (0, 0) and the given pairs of compression (m) and force (N), both rising.
    pub fn through(pairs: impl IntoIterator<Item = [f64; 2]>) -> Self {
        let mut points = vec![[0.0; 3]];
        for [c, f] in pairs {
            let [c0, f0, e0] = points[points.len() - 1];
            points.push([c, f, e0 + 0.5 * (f + f0) * (c - c0)]);
        }
        Self { points }
    }

    /// A straight line of one rate, N/m.
    pub fn straight(rate_n_per_m: f64) -> Self {
        Self::through([[1.0, rate_n_per_m]])
    }

    /// Energy at a compression, J; nothing while not compressed.
    pub fn energy_j(&self, compression_m: f64) -> f64 {
        if compression_m <= 0.0 {
            return 0.0;
        }
        let last = self.points.len() - 2;
        let k = self.points[1..].iter().position(|p| compression_m < p[0]).map_or(last, |k| k.min(last));
        let ([c0, f0, e0], [c1, f1, _]) = (self.points[k], self.points[k + 1]);
        let more = compression_m - c0;
        e0 + more * (f0 + 0.5 * more * (f1 - f0) / (c1 - c0))
    }

    /// Compression under a force, m.
    fn compression_m(&self, force_n: f64) -> f64 {
        let last = self.points.len() - 2;
        let k = self.points[1..].iter().position(|p| force_n < p[1]).map_or(last, |k| k.min(last));
        let ([c0, f0, _], [c1, f1, _]) = (self.points[k], self.points[k + 1]);
        c0 + (force_n - f0) * (c1 - c0) / (f1 - f0)
    }

    /// This and another element in series: under every force the compressions add up.
    #[must_use]
    pub fn in_series_with(&self, other: &Self) -> Self {
        let mut forces: Vec<f64> = self.points.iter().chain(&other.points).map(|p| p[1]).collect();
        forces.sort_by(f64::total_cmp);
        forces.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        forces.push(forces[forces.len() - 1] * 1.5 + 1.0);
        Self::through(forces.iter().skip(1).map(|&f| [self.compression_m(f) + other.compression_m(f), f]))
    }

    /// Every force multiplied.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self::through(self.points[1..].iter().map(|p| [p[0], factor * p[1]]))
    }

    /// Every compression multiplied: a shorter piece of the same rubber.
    #[must_use]
    pub fn shortened(&self, share: f64) -> Self {
        Self::through(self.points[1..].iter().map(|p| [share * p[0], p[1]]))
    }
}

/// A helper spring: soft until its coils touch, then all but rigid.
pub fn helper(rate_n_per_m: f64, room_m: f64) -> BrokenLine {
    let solid_n = rate_n_per_m * room_m;
    BrokenLine::through([[room_m, solid_n], [room_m + 1e-6, solid_n + 1e3]])
}
