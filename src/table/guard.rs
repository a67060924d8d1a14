//! Reads xls, xlsb and ods workbooks in a second process: the program runs itself as a child under limits of memory and
//! time and takes cells from its output.
//!
//! Why: the readers of these kinds panic, end the process or take gigabytes on damaged files. A child that dies so is a
//! notice here and nothing worse. The child limits its own memory before it opens the file (`guard_child.rs`); this side
//! limits its time, and every length that it sends.

use std::ffi::OsStr;
use std::io::{BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, ExitStatus, Stdio};
use std::sync::OnceLock;
use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, sync_channel};
use std::time::Instant;

use super::assemble::Assembler;
use super::findings::{child_ended, damaged, no_child, no_sheet, password};
use super::guard_child::{CHILD_ARGUMENT, CHILD_MARK, GREETING};
use super::limits::Limits;
use super::row::Kind;
use super::xlsx_book::SheetNames;
use super::{Go, Sink, caps};
use crate::ground::notice::Finding;

static PROGRAM: OnceLock<PathBuf> = OnceLock::new();

/// Says which program reads xls, xlsb and ods workbooks: a `coilstick`, or any program whose `main` begins with
/// [`super::child_main`]. The first word counts. Without it the running program is taken if its name is `coilstick`;
/// any other program must say, since it may not know what it is asked.
pub fn read_guarded_by(program: impl Into<PathBuf>) {
    let _ = PROGRAM.set(program.into());
}

type Result<T> = std::result::Result<T, Finding>;

/// The names of the sheets of a workbook: the visible ones, and those that are hidden.
pub(super) fn sheet_names(path: &Path, limits: &Limits) -> Result<SheetNames> {
    let mut running = Running::start(&[OsStr::new("sheets"), path.as_os_str()])?;
    let mut names = SheetNames::default();
    loop {
        match running.message()? {
            Message::Sheet(name) => names.add(name, true, limits),
            Message::Hidden(name) => names.add(name, false, limits),
            Message::Cell { .. } => {}
            Message::NoSheet => return Err(no_sheet("")),
            Message::End => return Ok(names),
        }
    }
}

/// Hands the rows of a sheet over that have cells; of the first visible sheet where none is named.
pub(super) fn rows(path: &Path, sheet: Option<&str>, limits: &Limits, sink: &mut dyn Sink) -> Result<()> {
    let mut arguments = vec![OsStr::new("read"), path.as_os_str()];
    arguments.extend(sheet.map(OsStr::new));
    let mut running = Running::start(&arguments)?;
    let mut assembler = Assembler::new(limits, sink);
    loop {
        // Where the child breaks off the row at hand may lack cells: it is left out.
        match running.message()? {
            Message::Cell { row, column, kind } => {
                if matches!(assembler.cell(row, column, kind, &running.text), Go::Stop) {
                    return Ok(());
                }
            }
            Message::Sheet(_) | Message::Hidden(_) => {}
            Message::NoSheet => return Err(no_sheet(sheet.unwrap_or(""))),
            Message::End => {
                assembler.end();
                return Ok(());
            }
        }
    }
}

enum Message {
    Sheet(String),
    Hidden(String),
    /// A cell; its text is in [`Running::text`].
    Cell {
        row: u32,
        column: u32,
        kind: Kind,
    },
    NoSheet,
    End,
}

/// A child at work. It is ended when this goes.
struct Running {
    child: Child,
    output: BufReader<Timed>,
    text: String,
    raw: Vec<u8>,
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Running {
    fn start(arguments: &[&OsStr]) -> Result<Self> {
        if std::env::var_os(CHILD_MARK).is_some() {
            return Err(no_child("a child does not start another"));
        }
        let mut child = Command::new(program().map_err(|why| no_child(&why))?)
            .arg(CHILD_ARGUMENT)
            .args(arguments)
            .env(CHILD_MARK, "1")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|why| no_child(&why.to_string()))?;
        let (to, from) = sync_channel(8);
        let stdout = child.stdout.take();
        let timed = Timed { from, chunk: Vec::new(), at: 0, until: Instant::now() + caps::CHILD_WALL };
        let output = BufReader::with_capacity(65_536, timed);
        let mut running = Self { child, output, text: String::new(), raw: Vec::new() };
        let Some(stdout) = stdout else { return Err(no_child("it has no output")) };
        std::thread::Builder::new()
            .name("table-child".to_owned())
            .spawn(move || pump(stdout, &to))
            .map_err(|why| no_child(&why.to_string()))?;
        let mut greeting = [0; GREETING.len()];
        match running.output.read_exact(&mut greeting) {
            Ok(()) if greeting == *GREETING => Ok(running),
            Ok(()) | Err(_) => {
                Err(no_child("the program that was run is not coilstick, or of another version"))
            }
        }
    }

    fn message(&mut self) -> Result<Message> {
        match self.try_message() {
            Ok(said) => said,
            Err(why) if why.kind() == std::io::ErrorKind::TimedOut => {
                let seconds = caps::CHILD_WALL.as_secs();
                Err(child_ended(&format!("it took more than {seconds} seconds")))
            }
            Err(_) => Err(child_ended(&self.how_it_ended())),
        }
    }

    fn try_message(&mut self) -> std::io::Result<Result<Message>> {
        let mut tag = [0];
        self.output.read_exact(&mut tag)?;
        Ok(match &tag {
            b"s" => {
                self.take_text()?;
                Ok(Message::Sheet(self.text.clone()))
            }
            b"h" => {
                self.take_text()?;
                Ok(Message::Hidden(self.text.clone()))
            }
            b"c" => {
                let (row, column) = (self.take_number()?, self.take_number()?);
                self.output.read_exact(&mut tag)?;
                self.take_text()?;
                let kind = Kind::from_letter(tag[0]).ok_or(std::io::ErrorKind::InvalidData)?;
                Ok(Message::Cell { row, column, kind })
            }
            b"p" => Err(password()),
            b"n" => Ok(Message::NoSheet),
            b"d" => Err(damaged("a part of it is damaged")),
            b"." => Ok(Message::End),
            _ => return Err(std::io::ErrorKind::InvalidData.into()),
        })
    }

    fn take_number(&mut self) -> std::io::Result<u32> {
        let mut bytes = [0; 4];
        self.output.read_exact(&mut bytes)?;
        Ok(u32::from_le_bytes(bytes))
    }

    /// Takes a text whose length stands before it: at most one byte more than the cap of a cell, so that it shows.
    fn take_text(&mut self) -> std::io::Result<()> {
        let length = usize::try_from(self.take_number()?).unwrap_or(usize::MAX);
        if length > caps::CELL_BYTES + 1 {
            return Err(std::io::ErrorKind::InvalidData.into());
        }
        self.raw.resize(length, 0);
        self.output.read_exact(&mut self.raw)?;
        self.text.clear();
        self.text.push_str(&String::from_utf8_lossy(&self.raw));
        Ok(())
    }

    fn how_it_ended(&mut self) -> String {
        let until = Instant::now() + std::time::Duration::from_secs(2);
        while Instant::now() < until {
            match self.child.try_wait() {
                Ok(Some(status)) => return ending(status),
                Ok(None) => std::thread::sleep(std::time::Duration::from_millis(5)),
                Err(_) => break,
            }
        }
        "it stopped without a word".to_owned()
    }
}

/// How a child ended, in words. Above a gigabyte its memory ends and it with it.
fn ending(status: ExitStatus) -> String {
    #[cfg(unix)]
    if let Some(signal) = std::os::unix::process::ExitStatusExt::signal(&status) {
        return format!("it met damage, or asked for more than a gigabyte of memory (signal {signal})");
    }
    match status.code() {
        Some(code) => format!("it met damage that it could not pass (status {code})"),
        None => "it was ended".to_owned(),
    }
}

fn program() -> std::result::Result<PathBuf, String> {
    if let Some(program) = PROGRAM.get() {
        return Ok(program.clone());
    }
    let own = std::env::current_exe().map_err(|why| why.to_string())?;
    if own.file_stem().is_some_and(|name| name.eq_ignore_ascii_case("coilstick")) {
        Ok(own)
    } else {
        Err("this program does not say which one it is".to_owned())
    }
}

/// Passes the child's output on; it ends when the child ends or nobody listens.
fn pump(mut stdout: ChildStdout, to: &SyncSender<Vec<u8>>) {
    let mut buffer = vec![0; 65_536];
    while let Ok(length @ 1..) = stdout.read(&mut buffer) {
        if to.send(buffer.get(..length).unwrap_or(&[]).to_vec()).is_err() {
            return;
        }
    }
}

/// The child's output, until its time is over.
struct Timed {
    from: Receiver<Vec<u8>>,
    chunk: Vec<u8>,
    at: usize,
    until: Instant,
}

impl Read for Timed {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if self.at == self.chunk.len() {
            let left = self.until.saturating_duration_since(Instant::now());
            match self.from.recv_timeout(left) {
                Ok(chunk) => (self.chunk, self.at) = (chunk, 0),
                Err(RecvTimeoutError::Timeout) => return Err(std::io::ErrorKind::TimedOut.into()),
                Err(RecvTimeoutError::Disconnected) => return Ok(0),
            }
        }
        let rest = self.chunk.get(self.at..).unwrap_or(&[]);
        let length = rest.len().min(into.len());
        if let (Some(into), Some(from)) = (into.get_mut(..length), rest.get(..length)) {
            into.copy_from_slice(from);
        }
        self.at += length;
        Ok(length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test program is not coilstick and says of none which one is.
    #[test]
    fn a_program_that_may_not_know_the_question_is_not_asked() {
        let finding = sheet_names(Path::new("any.ods"), &Limits::default()).err();
        assert!(finding.as_ref().is_some_and(|f| f.clone().at([]).kind == "no-reader"), "{finding:?}");
    }
}
