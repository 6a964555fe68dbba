//! Long JSON in text columns. An answer is a megabyte or two that says the same names over and over, and it is kept
//! with its record, with its history and with the key it was written under.

use std::io::{self, Read, Write};

use base64::prelude::{BASE64_STANDARD_NO_PAD, Engine};
use flate2::Compression;
use flate2::read::ZlibDecoder;
use flate2::write::ZlibEncoder;

use crate::error::{Error, Result};

/// Shorter text gains nothing that anyone would notice, and stays readable in the database.
const LONG_BYTES: usize = 16 * 1024;
/// Begins what is packed: no JSON begins so.
const MARK: char = '~';

/// What a column holds of a JSON text: the text, or where it is long, `~` and its zlib stream (RFC 1950) in base64
/// (RFC 4648).
#[derive(Clone, sqlx::Type)]
#[sqlx(transparent)]
pub(crate) struct Packed(String);

impl Packed {
    pub(crate) fn of(json: &str) -> Self {
        let is_short = json.len() < LONG_BYTES;
        let packed = if is_short { None } else { packed(json).ok() };
        Self(packed.unwrap_or_else(|| json.to_owned()))
    }

    /// The JSON text.
    ///
    /// # Errors
    /// [`Error::Damaged`] where what is packed cannot be unpacked.
    pub(crate) fn text(self) -> Result<String> {
        match self.0.strip_prefix(MARK) {
            Some(packed) => unpacked(packed).map_err(|e| Error::Damaged(format!("a packed text: {e}"))),
            None => Ok(self.0),
        }
    }
}

fn packed(json: &str) -> io::Result<String> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::fast());
    encoder.write_all(json.as_bytes())?;
    let mut packed = String::from(MARK);
    BASE64_STANDARD_NO_PAD.encode_string(encoder.finish()?, &mut packed);
    Ok(packed)
}

fn unpacked(packed: &str) -> io::Result<String> {
    let bytes = BASE64_STANDARD_NO_PAD.decode(packed).map_err(io::Error::other)?;
    let mut json = String::new();
    ZlibDecoder::new(&*bytes).read_to_string(&mut json)?;
    Ok(json)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn law_text_comes_back_as_it_was_and_is_packed_where_long(part in "[^~]\\PC{1,40}", times in 1_usize..2000) {
            let text = part.repeat(times);
            let kept = Packed::of(&text);
            prop_assert_eq!(kept.0.starts_with(MARK), text.len() >= LONG_BYTES);
            prop_assert_eq!(kept.text().unwrap(), text);
        }

        #[test]
        fn law_what_was_not_packed_here_is_told_from_what_was(noise in "~\\PC{0,60}") {
            prop_assert!(Packed(noise).text().is_err());
        }
    }
}
