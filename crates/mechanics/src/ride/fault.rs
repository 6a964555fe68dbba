//! Why ride cannot be computed.

/// Why ride cannot be computed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RideFault {
    /// A quantity that must be positive and finite is not.
    #[error("{quantity} must be positive, found {found}")]
    NotPositive {
        /// Which quantity.
        quantity: &'static str,
        /// Its value.
        found: f64,
    },
    /// A band of frequencies that is empty, or too few points in it.
    #[error("{count} points from {from_hz} Hz to {to_hz} Hz cannot carry a spectrum")]
    Frequencies {
        /// Least frequency, Hz.
        from_hz: f64,
        /// Greatest frequency, Hz.
        to_hz: f64,
        /// Number of points.
        count: usize,
    },
    /// Movement and the rates it causes do not come to agree.
    #[error("movement and rates of springs and dampers do not settle within {passes} passes")]
    NotSettled {
        /// Passes made.
        passes: usize,
    },
    /// No mean travel balances springs and dampers.
    #[error("no mean travel balances springs and dampers")]
    NoMeanTravel,
    /// The modes could not be found.
    #[error("no modes were found")]
    NoModes,
}
