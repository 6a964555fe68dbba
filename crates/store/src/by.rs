//! Who does a deed.

use crate::error::{Error, Result};

/// Who writes, on which device, when, why, and under which key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct By {
    /// Name of the user, or of the part of the program that acts by itself.
    pub who: String,
    /// Name of the device.
    pub device: String,
    /// When, milliseconds since 1970-01-01 UTC; the caller's clock.
    pub at_ms: i64,
    /// Why, in the writer's words; may be empty.
    pub why: String,
    /// Key made by the caller. The same key with the same deed returns the first result and changes nothing.
    pub key: Option<String>,
}

const LONGEST_NAME: usize = 200;
const LONGEST_REASON: usize = 4000;

impl By {
    /// A writer without reason or key.
    pub fn new(who: &str, device: &str, at_ms: i64) -> Self {
        Self { who: who.into(), device: device.into(), at_ms, why: String::new(), key: None }
    }

    /// The same with a reason.
    #[must_use]
    pub fn because(mut self, why: &str) -> Self {
        self.why = why.into();
        self
    }

    /// The same with a key.
    #[must_use]
    pub fn with_key(mut self, key: &str) -> Self {
        self.key = Some(key.into());
        self
    }

    /// Refuses names that cannot be kept alike in both databases.
    pub(crate) fn check(&self) -> Result<()> {
        plain_text("who", &self.who, 1, LONGEST_NAME)?;
        plain_text("device", &self.device, 1, LONGEST_NAME)?;
        plain_text("why", &self.why, 0, LONGEST_REASON)?;
        if let Some(key) = &self.key {
            plain_text("key", key, 1, LONGEST_NAME)?;
        }
        Ok(())
    }
}

/// Text of a length in characters that holds no NUL, which PostgreSQL cannot keep.
pub(crate) fn plain_text(field: &str, text: &str, shortest: usize, longest: usize) -> Result<()> {
    let length = text.chars().count();
    if text.contains('\0') || length < shortest || length > longest {
        return Err(Error::invalid(
            field,
            format!("{length} characters"),
            format!("{shortest} to {longest} characters, none of them NUL"),
        ));
    }
    Ok(())
}
