//! The SHA-256 of a file's content, by which a lot names what it was made from; used by the ledger's chain too.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};
use sha2::{Digest as _, Sha256};
use std::fmt;

/// SHA-256 of some bytes. Prints as 64 lower-case hexadecimal figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The digest of `bytes`.
    ///
    /// ```
    /// // first example of FIPS 180-4 (from memory)
    /// assert!(waxbill::lot::Digest::of(b"abc").to_string().starts_with("ba7816bf8f01cfea"));
    /// ```
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }
    /// From 32 bytes that were stored.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }
    /// The 32 bytes to store.
    #[must_use]
    pub const fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
    /// From 64 hexadecimal figures.
    #[must_use]
    pub fn from_hex(text: &str) -> Option<Self> {
        if text.len() != 64 || !text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
            return None;
        }
        let mut bytes = [0; 32];
        for (byte, at) in bytes.iter_mut().zip((0..64).step_by(2)) {
            *byte = u8::from_str_radix(&text[at..at + 2], 16).ok()?;
        }
        Some(Self(bytes))
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|b| write!(f, "{b:02x}"))
    }
}

/// Serialised as printed.
impl Serialize for Digest {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

/// Read as printed.
impl<'de> Deserialize<'de> for Digest {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let hex = String::deserialize(d)?;
        Self::from_hex(&hex).ok_or_else(|| D::Error::custom(format!("`{hex}` is no digest")))
    }
}

#[cfg(test)]
mod tests {
    use super::Digest;

    /// NIST example values for SHA-256: "abc" and the empty message (from memory).
    #[test]
    fn known_messages_have_their_digest() {
        assert_eq!(Digest::of(b"abc").to_string(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(Digest::of(b"").to_string(), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }

    #[test]
    fn hexadecimal_comes_back() {
        let digest = Digest::of(b"Low Tide");
        assert_eq!(Digest::from_hex(&digest.to_string()), Some(digest));
        assert_eq!(Digest::from_hex("ab"), None);
        assert_eq!(Digest::from_hex(&"+f".repeat(32)), None);
        assert_eq!(Digest::from_hex(&"é".repeat(32)), None);
    }
}
