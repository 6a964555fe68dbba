//! What is computed of a ride: logarithms, since all of it is positive and spreads in ratio.
