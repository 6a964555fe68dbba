//! Users, devices, settings.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{Kind, Record};
use crate::error::{Error, Result};
use crate::index::Index;

/// A user; the id is the name to sign in with. Hashes of passwords are kept elsewhere.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct User {
    /// Name as shown.
    pub name: String,
    /// What the user may do.
    pub role: Role,
    /// Language of pages, `en` or `de`.
    pub language: Option<String>,
    /// Units of what pages show: `inches`, or millimetres and kilograms where absent.
    #[serde(default)]
    pub units: Option<String>,
    /// Decimal sign of what pages show, `point` or `comma`; that of the language where absent.
    #[serde(default)]
    pub decimal_sign: Option<String>,
    /// Whether the user may sign in.
    pub active: bool,
}

/// What a user may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Everything.
    Owner,
    /// Counter and office.
    Office,
    /// The bay.
    Fitter,
    /// Reading only.
    Reader,
}

impl Record for User {
    const KIND: Kind = Kind::User;

    fn index(&self, _: &mut Index) {}
}

/// An enrolled device; its secret is kept elsewhere.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Device {
    /// Name, such as “bay tablet”.
    pub name: String,
    /// Where it stays.
    pub place: String,
    /// Whether it may be used.
    pub active: bool,
}

impl Record for Device {
    const KIND: Kind = Kind::Device;

    fn index(&self, _: &mut Index) {}
}

/// A setting; the id is its name.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Setting {
    /// Value, JSON.
    pub value: Value,
}

impl Record for Setting {
    const KIND: Kind = Kind::Setting;

    fn index(&self, _: &mut Index) {}

    fn check(&self) -> Result<()> {
        if self.value.is_null() {
            return Err(Error::invalid("value", "null", "a value; remove the setting instead"));
        }
        Ok(())
    }
}
