//! Random secrets, their digests, and passphrases.

use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use sha2::{Digest, Sha256};

use crate::problem::{Handled, Problem};

/// Memory of one hash, KiB, and passes: above the least that OWASP's cheat sheet on password storage names (46 MiB, 1).
const MEMORY_KIB: u32 = 64 * 1024;
const PASSES: u32 = 1;
/// Shortest passphrase, characters.
pub(crate) const SHORTEST: usize = 12;
const LONGEST: usize = 256;
/// PIN for the bay, digits.
const PIN_DIGITS: std::ops::RangeInclusive<usize> = 6..=8;

/// Words that many passphrases are made of; one of nothing else is refused.
const COMMON: &str = include_str!("common_words.txt");

/// A random secret of 256 bits, hexadecimal.
pub(crate) fn secret() -> Handled<String> {
    Ok(hex(&random::<32>()?))
}

/// A code that people type: eight signs without those that look alike, 40 bits.
pub(crate) fn code() -> Handled<String> {
    const SIGNS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";
    let bytes = random::<8>()?;
    let signs: String =
        bytes.iter().map(|&byte| char::from(SIGNS[usize::from(byte) % SIGNS.len()])).collect();
    Ok(format!("{}-{}", &signs[..4], &signs[4..]))
}

/// A code as it was meant: people type small letters, spaces, no dash.
pub(crate) fn code_as_meant(typed: &str) -> String {
    let signs: String =
        typed.chars().filter(char::is_ascii_alphanumeric).take(8).collect::<String>().to_ascii_uppercase();
    if signs.len() == 8 { format!("{}-{}", &signs[..4], &signs[4..]) } else { signs }
}

fn random<const N: usize>() -> Handled<[u8; N]> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|e| Problem::internal(&e))?;
    Ok(bytes)
}

/// SHA-256 in hexadecimal digits: what is kept of a secret.
pub(crate) fn digest(secret: &str) -> String {
    hex(&Sha256::digest(secret.as_bytes()))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Refuses a passphrase that is short, endless, or easily guessed.
pub(crate) fn check_passphrase(passphrase: &str, name: &str) -> Handled<()> {
    let length = passphrase.chars().count();
    if !(SHORTEST..=LONGEST).contains(&length) {
        let words = (
            format!("the passphrase must have {SHORTEST} to {LONGEST} characters; it has {length}"),
            format!("die Passphrase muss {SHORTEST} bis {LONGEST} Zeichen haben; sie hat {length}"),
        );
        return Err(Problem::invalid("/passphrase", words));
    }
    if is_easily_guessed(passphrase, name) {
        let words = (
            "this passphrase is made of words that everyone tries first; take three or four unrelated words",
            "diese Passphrase besteht aus Wörtern, die jeder zuerst versucht; nehmen Sie drei oder vier Wörter ohne Zusammenhang",
        );
        return Err(Problem::invalid("/passphrase", words));
    }
    Ok(())
}

/// Whether nothing is left when common words, the name, digits and repeated signs are taken away.
fn is_easily_guessed(passphrase: &str, name: &str) -> bool {
    let mut rest = passphrase.to_lowercase();
    let name = name.to_lowercase();
    let mut words: Vec<&str> = COMMON.lines().filter(|word| !word.is_empty()).chain([&*name]).collect();
    words.sort_by_key(|word| std::cmp::Reverse(word.len()));
    for word in words.into_iter().filter(|word| word.len() >= 3) {
        rest = rest.replace(word, " ");
    }
    let letters: Vec<char> = rest.chars().filter(|c| c.is_alphabetic()).collect();
    let different: std::collections::BTreeSet<char> = letters.iter().copied().collect();
    different.len() < 4
}

pub(crate) fn check_pin(pin: &str) -> Handled<()> {
    let different: std::collections::BTreeSet<u8> = pin.bytes().collect();
    let runs = "01234567890 09876543210".contains(pin);
    if !PIN_DIGITS.contains(&pin.len())
        || !pin.bytes().all(|b| b.is_ascii_digit())
        || different.len() < 3
        || runs
    {
        return Err(Problem::invalid(
            "/pin",
            (
                "a PIN has 6 to 8 digits, three of them different, not in a row",
                "eine PIN hat 6 bis 8 Ziffern, drei davon verschieden, nicht in Folge",
            ),
        ));
    }
    Ok(())
}

fn argon2() -> Handled<Argon2<'static>> {
    let params = Params::new(MEMORY_KIB, PASSES, 1, None).map_err(|e| Problem::internal(&e))?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

/// Argon2id hash with a salt of its own.
pub(crate) fn hash(passphrase: &str) -> Handled<String> {
    let salt = random::<16>()?;
    let hash =
        argon2()?.hash_password_with_salt(passphrase.as_bytes(), &salt).map_err(|e| Problem::internal(&e))?;
    Ok(hash.to_string())
}

/// Whether a passphrase is the one of a hash; without a hash as much work is done, for nothing.
pub(crate) fn fits(passphrase: &str, kept: Option<&str>) -> bool {
    let Some(parsed) = kept.and_then(|kept| argon2::password_hash::phc::PasswordHash::new(kept).ok()) else {
        drop(hash(passphrase));
        return false;
    };
    argon2().is_ok_and(|argon2| argon2.verify_password(passphrase.as_bytes(), &parsed).is_ok())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// OWASP Password Storage Cheat Sheet: argon2id with at least 46 MiB and one pass, or 19 MiB and two.
    #[test]
    fn val_hash_is_argon2id_of_at_least_46_mib() {
        let kept = hash("correct horse battery staple").unwrap();
        assert!(kept.starts_with("$argon2id$v=19$m=65536,t=1,p=1$"), "{kept}");
        assert!(fits("correct horse battery staple", Some(&kept)));
        assert!(!fits("correct horse battery stable", Some(&kept)));
        assert!(!fits("correct horse battery staple", None));
    }

    #[test]
    fn law_same_passphrase_never_hashes_alike() {
        assert_ne!(hash("four unrelated words here").unwrap(), hash("four unrelated words here").unwrap());
    }

    #[test]
    fn law_common_words_alone_are_refused() {
        for weak in [
            "password1234",
            "passwordpassword",
            "Workshop2026!",
            "annaannaanna1",
            "suspension123",
            "111111111111",
            "short",
        ] {
            assert!(check_passphrase(weak, "anna").is_err(), "{weak}");
        }
        assert!(check_passphrase("herring bicycle quarter moon", "anna").is_ok());
    }

    #[test]
    fn law_codes_are_read_as_typed() {
        let code = code().unwrap();
        let typed = code.to_lowercase().replace('-', " ");
        assert_eq!(code_as_meant(&typed), code);
    }
}
