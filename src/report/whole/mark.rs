//! The mark of a whole set of files, `estimate.json` or `revision.json`: what it says of the others. It is sealed before it
//! is written: its last keys are the files of the set with their fingerprints, and the fingerprint of all of it before. A picture
//! stands for itself and is sealed alone: its last line is the fingerprint of all before it.

use std::io::{self, Read};

use serde::{Deserialize, Serialize};

use super::fingerprint::{DIGITS, Fingerprint};
use crate::report::form::{SHA256, Shape, TEXT};

/// A file of a set, by its path from the output folder with `/` between.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Listed {
    pub(super) name: Box<str>,
    pub(super) sha256: Fingerprint,
}

/// A mark that is there.
pub(super) struct Mark {
    /// The other files of its set; none where an earlier version of the program wrote it.
    files: Vec<Listed>,
    /// Whether nobody wrote in it.
    pub(super) is_sealed: bool,
}

/// What stands before the seal, and behind it.
const SEAL: (&[u8], &[u8]) = (b",\"seal\":\"", b"\"}\n");

/// The keys that a mark ends with.
pub(in crate::report) fn mark_shape() -> Shape {
    let mut file = Shape::default();
    file.put("name", "its path from the folder, with / between", TEXT);
    file.put("sha256", "its fingerprint", SHA256);
    let mut shape = Shape::default();
    shape.each("files", "every other file of the set", file);
    shape.put("seal", "the fingerprint of all that stands before this key", SHA256);
    shape
}

/// The largest file that is looked at as a mark.
const MOST_BYTES: u64 = 2 << 30;

/// What any mark says first; whatever else it holds is not read.
#[derive(Deserialize)]
struct Stated {
    #[serde(rename = "format")]
    _format: u64,
    program: Box<str>,
    #[serde(default)]
    files: Vec<Listed>,
}

/// A mark with the other files of its set and its seal. It is one JSON object that ends with a line.
pub(super) fn sealed(mut bytes: Vec<u8>, files: &[Listed]) -> Vec<u8> {
    debug_assert!(bytes.ends_with(b"}\n"), "a mark is one object");
    bytes.truncate(bytes.len().saturating_sub(2));
    bytes.extend(b",\"files\":");
    // Memory takes every byte.
    let _ = serde_json::to_writer(&mut bytes, files);
    let seal = Fingerprint::of(&bytes);
    bytes.extend([SEAL.0, seal.digits().as_bytes(), SEAL.1].concat());
    bytes
}

impl Mark {
    /// Reads a mark; nothing where the file is no mark of this program.
    pub(super) fn read(file: impl Read) -> io::Result<Option<Self>> {
        let mut bytes = Vec::new();
        file.take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
        if bytes.len() as u64 > MOST_BYTES {
            return Ok(None);
        }
        let stated = serde_json::from_slice::<Stated>(&bytes).ok();
        let stated = stated.filter(|stated| &*stated.program == env!("CARGO_PKG_NAME"));
        Ok(stated.map(|stated| Self { files: stated.files, is_sealed: is_sealed(&bytes) }))
    }

    /// The fingerprint of a file of its set, as it was written.
    pub(super) fn of(&self, name: &str) -> Option<&Fingerprint> {
        self.files.iter().find(|file| &*file.name == name).map(|file| &file.sha256)
    }

    /// The names of the other files of its set.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|file| &*file.name)
    }
}

/// What stands before and behind the seal of a picture: a comment of its own line.
const PICTURE_SEAL: (&[u8], &[u8]) = (b"<!-- seal ", b" -->\n");

/// The largest file that is looked at as a picture.
const MOST_OF_A_PICTURE: u64 = 256 << 20;

/// A picture with its seal.
pub(super) fn sealed_picture(mut bytes: Vec<u8>) -> Vec<u8> {
    let seal = Fingerprint::of(&bytes);
    bytes.extend([PICTURE_SEAL.0, seal.digits().as_bytes(), PICTURE_SEAL.1].concat());
    bytes
}

/// Whether a file is a picture of this program in which nobody wrote.
pub(super) fn is_sealed_picture(file: impl Read) -> io::Result<bool> {
    let mut bytes = Vec::new();
    file.take(MOST_OF_A_PICTURE).read_to_end(&mut bytes)?;
    Ok(is_sealed_by(&bytes, PICTURE_SEAL))
}

fn is_sealed(bytes: &[u8]) -> bool {
    is_sealed_by(bytes, SEAL)
}

fn is_sealed_by(bytes: &[u8], seal: (&[u8], &[u8])) -> bool {
    let Some(rest) = bytes.strip_suffix(seal.1) else { return false };
    let Some((front, digits)) = rest.split_at_checked(rest.len().saturating_sub(DIGITS)) else {
        return false;
    };
    let Some(stated) = front.strip_suffix(seal.0) else { return false };
    Fingerprint::of(stated).digits().as_bytes() == digits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_says_which_files_are_of_its_set_and_whether_somebody_wrote_in_it() {
        let files = [Listed { name: "order.csv".into(), sha256: Fingerprint::of(b"order") }];
        let bytes =
            sealed(b"{\"format\":2,\"program\":\"coilstick\",\"deep\":[{\"files\":1}]}\n".to_vec(), &files);
        let mark = Mark::read(&bytes[..]).unwrap().unwrap();
        assert!(mark.is_sealed);
        assert_eq!(mark.of("order.csv"), Some(&Fingerprint::of(b"order")));
        assert_eq!(mark.of("bid.csv"), None);
        let edited = String::from_utf8(bytes).unwrap().replace("deep", "keep");
        let mark = Mark::read(edited.as_bytes()).unwrap().unwrap();
        assert!(!mark.is_sealed && mark.of("order.csv").is_some());
        for foreign in ["", "{}", "[1]", "{\"format\":2,\"program\":\"another\"}"] {
            assert!(Mark::read(foreign.as_bytes()).unwrap().is_none(), "{foreign}");
        }
    }
}
