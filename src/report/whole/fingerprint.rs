//! The fingerprint of a file: the SHA-256 of its bytes, by which it is known whether somebody wrote in it. A checksum of 32
//! bits would take one edited file in four thousand million for ours, and anybody can make one that fits; of SHA-256 no two
//! different files with the same sum are known, and every system has a program that shows it.

use std::fmt::Write as _;
use std::io::{self, Read};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// A fingerprint, as 64 small hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::report) struct Fingerprint(Box<str>);

/// The digits of a fingerprint.
pub(in crate::report) const DIGITS: usize = 64;

impl Fingerprint {
    /// That of bytes.
    pub(in crate::report) fn of(bytes: &[u8]) -> Self {
        Self::from_sum(&Sha256::digest(bytes))
    }

    /// That of all that can be read.
    pub(in crate::report) fn of_file(mut file: impl Read) -> io::Result<Self> {
        let mut sum = Sha256::new();
        let mut chunk = vec![0; 65_536];
        loop {
            match file.read(&mut chunk) {
                Ok(0) => return Ok(Self::from_sum(&sum.finalize())),
                Ok(read) => sum.update(chunk.get(..read).unwrap_or_default()),
                Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
                Err(why) => return Err(why),
            }
        }
    }

    pub(in crate::report) fn digits(&self) -> &str {
        &self.0
    }

    fn from_sum(sum: &[u8]) -> Self {
        let mut digits = String::with_capacity(DIGITS);
        for byte in sum {
            // Memory takes every digit.
            let _ = write!(digits, "{byte:02x}");
        }
        Self(digits.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fingerprints_are_those_of_the_published_example() {
        // FIPS 180-4's example of one block.
        let sum = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Fingerprint::of(b"abc").digits(), sum);
        assert_eq!(Fingerprint::of_file(&b"abc"[..]).unwrap(), Fingerprint::of(b"abc"));
    }
}
