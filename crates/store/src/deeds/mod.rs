//! What people do, one file per subject.

pub(crate) mod answers;
pub(crate) mod call_backs;
pub(crate) mod catalogue;
pub(crate) mod files;
pub(crate) mod jobs;
pub(crate) mod papers;
pub(crate) mod people;
pub(crate) mod plain;
pub(crate) mod postal;
pub(crate) mod quotes;
