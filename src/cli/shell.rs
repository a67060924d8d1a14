//! Completions and the man page, made from the one definition of the command line.

use clap::CommandFactory;

use super::args::Options;
use super::screen::Screen;
use super::{CouldNot, Done, why};

/// Writes completions for a shell.
pub(super) fn completions(shell: clap_complete::Shell, screen: &mut Screen) -> Result<Done, CouldNot> {
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut Options::command(), "coilstick", &mut bytes);
    screen.bytes(&bytes);
    Ok(Done::Clean)
}

/// Writes the man page.
pub(super) fn man(screen: &mut Screen) -> Result<Done, CouldNot> {
    let mut bytes = Vec::new();
    clap_mangen::Man::new(Options::command()).render(&mut bytes).map_err(why)?;
    screen.bytes(&bytes);
    Ok(Done::Clean)
}
