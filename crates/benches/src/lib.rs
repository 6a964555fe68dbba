//! Stated workloads for the kernels of the project.
//!
//! Each workload is one file: it reads its inputs from `workloads/inputs`, puts them into the project's own types, and
//! computes with the project's own functions. Its tests hold the results against `workloads/expected`, which other
//! programs computed from the same inputs; the binary times it. To add one, write its file and name it in
//! [`workloads`].

pub mod machine;
pub mod random;
pub mod real;
pub mod ridden;
pub mod standing;
pub mod timing;
pub mod w1;
pub mod w2;
pub mod w3;
pub mod w4;
pub mod w5;

use anyhow::Result;

/// One piece of work to be timed.
pub struct Workload {
    /// What is done, how often.
    pub name: &'static str,
    /// CPU time the work must not exceed, s, where one is set: what the same arithmetic takes in plain compiled code.
    pub must_reach_s: Option<f64>,
    /// Does the whole work once. Reading inputs is not part of it.
    pub run: Box<dyn FnMut() -> Result<()>>,
}

/// Every workload, inputs read.
///
/// # Errors
/// When inputs cannot be read.
pub fn workloads() -> Result<Vec<Workload>> {
    let mut all = Vec::new();
    all.extend(w1::workloads()?);
    all.push(w2::workload()?);
    all.extend(w3::workloads()?);
    all.extend(w4::workloads()?);
    all.extend(w5::workloads()?);
    all.extend(real::workloads()?);
    Ok(all)
}
