//! The form of a whole JSON file and of its schema: what every file begins with, its own keys, those that seal it.

use super::fields::fields;
use super::holds::Holds;
use super::json::{Object, line};
use super::shape::Shape;
use super::table::whole;

/// The version of the shape of these files: a change that readers would trip over raises it.
pub const FORMAT: u32 = 2;

/// The bytes of a file that holds one object, on a line. It begins with the version of its shape and the program.
pub(in crate::report) fn file(fill: impl FnOnce(&mut Object<'_>)) -> Vec<u8> {
    line(|out| {
        put_head(out);
        fill(out);
    })
}

fields! {
    /// What every file begins with.
    fn put_head / head (out) {
        put "format": Holds::just(FORMAT), "the version of the shape: added keys keep it" => whole(FORMAT);
        put "program": Holds::word(&[env!("CARGO_PKG_NAME")]), "the program that wrote it" => env!("CARGO_PKG_NAME");
    }
}

/// The schema of a file by its name and what it is: what it begins with, its own keys, and those that seal it.
pub(in crate::report) fn schema((name, about): (&str, &str), own: Shape, seal: Shape) -> String {
    let mut of = head();
    of.also(own);
    of.also(seal);
    of.file(name, about, FORMAT)
}

#[cfg(test)]
mod tests {
    use rust_decimal::Decimal;

    use super::super::table::Value;
    use super::*;

    #[test]
    fn keys_stand_in_the_order_put_and_decimals_are_text() {
        let bytes = file(|out| {
            out.put("b", "1/2\" x");
            out.put("a", Value::Cents(Decimal::ONE));
            out.list("list", [whole(1), Value::Nothing, true.into()]);
            out.each("each", [1, 2], |out, number| out.put("n", whole(number)));
            out.maybe("none", None::<u32>, |_, _| ());
        });
        let expected =
            r#""b":"1/2\" x","a":"1.00","list":[1,null,true],"each":[{"n":1},{"n":2}],"none":null}"#;
        assert_eq!(
            String::from_utf8(bytes).unwrap(),
            format!("{{\"format\":{FORMAT},\"program\":\"coilstick\",{expected}\n")
        );
    }
}
