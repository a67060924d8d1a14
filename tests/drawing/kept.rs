//! A picture kept whole.

use std::fs;

use crate::{drawn, project};

#[test]
fn the_picture_of_a_small_house_is_as_it_was_reviewed() {
    let picture = drawn(&project("tests/drawing/a-small-house"));
    let path = project("tests/drawing/a-small-house.svg");
    if std::env::var("GOLDEN").is_ok_and(|word| word == "write") {
        fs::write(&path, &picture).unwrap();
    }
    let kept = fs::read_to_string(&path).unwrap();
    let line = kept.lines().zip(picture.lines()).position(|(kept, now)| kept != now);
    assert!(kept == picture, "the pictures part in line {:?}", line.map(|line| line + 1));
}
