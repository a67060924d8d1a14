//! The keys of an object of a JSON file, once: the function that writes them and the one that gives their shape. It writes no
//! file.

/// Writes functions that put the keys of an object into a file, and beside each the one that gives its shape: verb of
/// [`Object`](super::Object), key, what it holds, what it says, and behind `=>` what is written. `if` behind what it says: the
/// key is there only then. What the values share is made in `with`.
macro_rules! fields {
    ($(
        $(#[$doc:meta])*
        $vis:vis fn $put:ident$([$life:lifetime])? / $shape:ident ($out:ident $(, $arg:ident: $of:ty)* $(,)?)
        $(with { $(let $name:pat_param = $init:expr;)* })?
        {$(
            $verb:ident $key:literal: $holds:expr, $help:literal $(, if $when:expr)? => $($value:expr),+;
        )*}
    )+) => {$(
        $(#[$doc])*
        $vis fn $put$(<$life>)?($out: &mut $crate::report::form::Object<'_> $(, $arg: $of)*) {
            $($(let $name = $init;)*)?
            $($(if $when)? { $out.$verb($key, $($value),+); })*
        }

        /// What it puts.
        $vis fn $shape() -> $crate::report::form::Shape {
            let mut shape = $crate::report::form::Shape::default();
            $(
                shape.$verb($key, $help, $holds);
                $(
                    let _ = stringify!($when);
                    shape.sometimes();
                )?
            )*
            shape
        }
    )+};
}
pub(in crate::report) use fields;
