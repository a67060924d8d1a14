//! What `--json` prints: one document for every command and every failure, on one line: `format`, `command`, `status`,
//! `notices`, `result`. It is made of the same value as the lines for people. It prints nothing.

use serde::Serialize;

use super::told::Told;
use crate::ground::inert::json;
use crate::ground::{Hangs, Notice, Severity};

/// The version of the shape of the document: a change that readers would trip over raises it.
const FORMAT: u32 = 1;

/// The keys of a document, in their order.
#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    command: Option<&'a str>,
    status: u8,
    notices: Vec<OneNotice<'a>>,
    result: Option<&'a Told>,
}

/// A notice, as programs read it.
#[derive(Serialize)]
struct OneNotice<'a> {
    severity: Severity,
    kind: &'a str,
    cells: Vec<String>,
    found: &'a str,
    expected: &'a str,
    remedy: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    hangs: Option<&'a Hangs>,
    #[serde(skip_serializing_if = "Option::is_none")]
    accepted: Option<String>,
}

impl<'a> OneNotice<'a> {
    fn of(notice: &'a Notice) -> Self {
        let Notice { severity, kind, found, expected, remedy, .. } = notice;
        Self {
            severity: *severity,
            kind,
            cells: notice.spots.iter().map(ToString::to_string).collect(),
            found,
            expected,
            remedy,
            hangs: notice.hangs.as_ref(),
            accepted: notice.accepted.as_ref().map(ToString::to_string),
        }
    }
}

/// The document of a command that ended with a status; without a result it did nothing.
pub(super) fn document<'a>(
    command: Option<&str>,
    status: u8,
    notices: impl IntoIterator<Item = &'a Notice>,
    result: Option<&Told>,
) -> Vec<u8> {
    let notices = notices.into_iter().map(OneNotice::of).collect();
    let mut bytes = Vec::new();
    json(&mut bytes, &Document { format: FORMAT, command, status, notices, result });
    bytes.push(b'\n');
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::told::Words;

    #[test]
    fn keys_stand_in_their_order_and_nothing_acts() {
        let mut told = Told::default();
        told.words("why", Words::new("", "\u{202e}x\u{9b}"));
        assert_eq!(
            String::from_utf8(document(Some("check"), 1, [], Some(&told))).unwrap(),
            "{\"format\":1,\"command\":\"check\",\"status\":1,\"notices\":[],\
             \"result\":{\"why\":\"\\u202ex\\u009b\"}}\n"
        );
        let nothing = document(None, 2, [], None);
        assert!(String::from_utf8(nothing).unwrap().ends_with("\"notices\":[],\"result\":null}\n"));
    }
}
