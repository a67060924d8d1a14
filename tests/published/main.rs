//! Figures that others published, each with its source beside it. Nobody may regenerate them.

mod money;
