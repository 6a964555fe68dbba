//! One figure from outside beside the one computed here.

/// How far a figure may be from the outside one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// In the unit of the figure.
    Absolute(f64),
    /// As a share of the outside figure.
    Relative(f64),
}

impl Tolerance {
    /// Largest difference from `expected` allowed, in its unit.
    pub fn allowed(self, expected: f64) -> f64 {
        match self {
            Self::Absolute(allowed) => allowed,
            Self::Relative(share) => share * expected.abs(),
        }
    }
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Name of the case.
    pub id: &'static str,
    /// The quantity and the inputs it follows from.
    pub what: String,
    /// Book, standard or independent solution.
    pub source: &'static str,
    /// How the outside figure was come by: verified, recomputed, from memory.
    pub mark: &'static str,
    /// Unit of both figures; `-` for none.
    pub unit: &'static str,
    /// The outside figure.
    pub expected: f64,
    /// The figure computed here.
    pub got: f64,
    /// What difference is allowed.
    pub tolerance: Tolerance,
}

impl Check {
    /// Whether the difference is within the tolerance; never for a figure that is not a number.
    pub fn holds(&self) -> bool {
        (self.got - self.expected).abs() <= self.tolerance.allowed(self.expected)
    }
}

/// Where one case comes from: what all its checks share.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Case {
    pub(crate) id: &'static str,
    pub(crate) source: &'static str,
    pub(crate) mark: &'static str,
}

impl Case {
    /// One check of this case with an absolute tolerance.
    pub(crate) fn check(
        &self,
        what: impl Into<String>,
        unit: &'static str,
        expected: f64,
        got: f64,
        allowed: f64,
    ) -> Check {
        let Self { id, source, mark } = *self;
        Check {
            id,
            what: what.into(),
            source,
            mark,
            unit,
            expected,
            got,
            tolerance: Tolerance::Absolute(allowed),
        }
    }
}

/// What a subject computes, or why it could not.
pub(crate) type Computed = Result<Vec<Check>, Box<dyn std::error::Error>>;

/// The checks of a subject; a refusal of the mechanics becomes a check that fails and says why.
pub(crate) fn or_failing(computed: Computed) -> Vec<Check> {
    computed.unwrap_or_else(|error| {
        let refused = Case { id: "-", source: "-", mark: "-" };
        vec![refused.check(format!("not computed: {error}"), "-", 0.0, f64::NAN, 0.0)]
    })
}

/// A quantity that the linkage of a check must know.
pub(crate) fn known(quantity: Option<f64>) -> Result<f64, &'static str> {
    quantity.ok_or("a quantity is not known")
}
