//! The tables that an estimate keeps of its job, in a folder beside its own files, and how such a folder is read as the job
//! again. Paths that the job names are not rewritten: a list beside the tables says where each leads, so that the copy is
//! the tables as they were, and notices name the same places.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::settings::Said;
use crate::ground::notice::findings;
use crate::ground::{Notice, ReadFile, Spot, TableName};
use crate::table::{FoundTable, TableFile};

/// The folder in an output folder that holds them.
pub const FOLDER: &str = "inputs";

/// The list beside them; its name is no table's.
const LIST: &str = "inputs.json";

/// The folder of work in an output folder, there only while a run writes, or after one was broken off.
pub const WORK: &str = ".coilstick-writing";

/// The file in it that stands for moves that are not all made.
pub const JOURNAL: &str = "journal.json";

/// The most bytes of a list.
const MOST_BYTES: u64 = 16 << 20;

/// The tables of a job to be kept.
#[derive(Debug, Clone, Default)]
pub struct Kept {
    tables: Vec<(Box<str>, ReadFile)>,
    list: List,
}

/// What the list beside kept tables says.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
struct List {
    program: Box<str>,
    /// The job where it is a file: a workbook, or a run list alone.
    job: Option<Box<str>>,
    /// Where the paths lead that the job names.
    paths: Vec<KeptPath>,
}

/// A path that a job names.
#[derive(Debug, Clone, Serialize, Deserialize)]
struct KeptPath {
    written: Box<str>,
    /// The file or folder among the kept tables; nothing where no table of it was read.
    kept: Option<Box<str>>,
}

/// The folder of a job, from which the paths lead that it names.
#[derive(Debug, Clone, Default)]
pub(super) struct Home {
    folder: PathBuf,
    /// Those of kept tables.
    kept: Option<Vec<KeptPath>>,
}

impl Home {
    /// A folder as it stands.
    pub(super) fn of(folder: &Path) -> Self {
        Self { folder: folder.to_owned(), kept: None }
    }

    /// Where a path leads; nothing where it led to no table when the tables were kept.
    pub(super) fn path(&self, written: &str) -> Option<PathBuf> {
        let Some(kept) = &self.kept else { return Some(self.folder.join(written)) };
        for one in kept {
            // What lies below a path is named by the path too.
            if let Ok(rest) = Path::new(written).strip_prefix(&*one.written) {
                let to = self.folder.join(one.kept.as_deref()?);
                return Some(if rest.as_os_str().is_empty() { to } else { to.join(rest) });
            }
        }
        // It led nowhere, and does so still.
        Some(self.folder.join(FOLDER).join("nowhere"))
    }
}

/// Finds a job by its path: the file or folder of its tables, and the folder from which its paths lead. An estimate's folder
/// is the job whose tables it keeps.
pub(super) fn find(path: &Path) -> Result<(PathBuf, Home), Notice> {
    let is_folder = path.is_dir();
    let mut folder = if is_folder { path.to_owned() } else { path.parent().unwrap_or(path).to_owned() };
    let beside = folder.parent().filter(|_| folder.file_name().is_some_and(|name| name == FOLDER));
    for at in [Some(folder.as_path()).filter(|_| is_folder), beside].into_iter().flatten() {
        if at.join(WORK).join(JOURNAL).is_file() {
            return Err(broken_off().at([Spot::of_path(path)]));
        }
    }
    if is_folder && is_estimate(path) {
        folder = path.join(FOLDER);
    }
    let list = folder.join(LIST);
    if !list.is_file() {
        return Ok((path.to_owned(), Home::of(&folder)));
    }
    let damaged = || damaged_list().at([Spot::file(TableName::of_file(LIST, &list))]);
    let list = List::read(&list).ok_or_else(damaged)?;
    let job = match &list.job {
        Some(file) if is_folder => folder.join(&**file),
        Some(_) | None => {
            if is_folder {
                folder.clone()
            } else {
                path.to_owned()
            }
        }
    };
    Ok((job, Home { folder, kept: Some(list.paths) }))
}

/// Whether a folder is that of an estimate which keeps its tables.
pub fn is_estimate(path: &Path) -> bool {
    path.join(FOLDER).join(LIST).is_file()
}

impl List {
    /// A list; nothing where it is not what an estimate writes.
    fn read(path: &Path) -> Option<Self> {
        let mut bytes = Vec::new();
        File::open(path).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes)).ok()?;
        let list = serde_json::from_slice::<Self>(&bytes).ok()?;
        let names = list.paths.iter().filter_map(|one| one.kept.as_deref()).chain(list.job.as_deref());
        let inside =
            |name: &str| Path::new(name).components().all(|part| matches!(part, Component::Normal(_)));
        let is_ours = bytes.len() as u64 <= MOST_BYTES && &*list.program == env!("CARGO_PKG_NAME");
        (is_ours && names.into_iter().all(inside)).then_some(list)
    }
}

/// The tables that a job was read from: its own, those of the paths that it names, each as it was opened. What was not
/// opened to be read as a table is not kept.
pub(super) fn of(own: &[FoundTable], is_file: bool, home: &Home, said: &Said, read: &[ReadFile]) -> Kept {
    let mut keeping = Keeping { kept: Kept::default(), names: BTreeSet::new() };
    let own: Vec<&Path> = own.iter().filter_map(path_of).collect();
    for file in read.iter().filter(|file| own.contains(&&*file.path)) {
        let name = keeping.add("", file);
        // A workbook is the job, also where it stands in a folder alone.
        let alone =
            is_file || !file.path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
        if alone {
            keeping.kept.list.job = Some(name);
        }
    }
    let mut seen = BTreeSet::new();
    for (_, written) in said.tables.iter().chain(&said.price_lists) {
        let Some(path) = home.path(written).filter(|_| seen.insert(written)) else { continue };
        let folder = format!("shared-{}", seen.len());
        let mut kept = None;
        for file in read.iter() {
            if *file.path == *path {
                kept = Some(keeping.add(&folder, file));
            } else if file.path.parent() == Some(&path) {
                keeping.add(&folder, file);
                kept = Some(folder.clone().into());
            }
        }
        if kept.is_some() || path.exists() {
            keeping.kept.list.paths.push(KeptPath { written: written.clone(), kept });
        }
    }
    let mut kept = keeping.kept;
    kept.list.program = env!("CARGO_PKG_NAME").into();
    kept
}

fn path_of(table: &FoundTable) -> Option<&Path> {
    match &table.file {
        TableFile::File { path, .. } => Some(path),
        TableFile::BuiltIn { .. } => None,
    }
}

struct Keeping {
    kept: Kept,
    names: BTreeSet<Box<str>>,
}

impl Keeping {
    /// Keeps a file in a folder, by its own name; gives its path among the kept tables.
    fn add(&mut self, folder: &str, file: &ReadFile) -> Box<str> {
        let name = file.path.file_name().unwrap_or_default().to_string_lossy().replace(['\\', '\0'], "_");
        let mut name = if folder.is_empty() { name } else { format!("{folder}/{name}") };
        // Two names that no text can tell apart.
        while !self.names.insert(name.clone().into()) {
            name.push('_');
        }
        let name: Box<str> = name.into();
        self.kept.tables.push((name.clone(), file.clone()));
        name
    }
}

/// Why tables could not be kept.
#[derive(Debug)]
pub enum NotKept {
    /// The file is no longer as it was when it was read.
    Changed(PathBuf),
    /// What the system said of the file.
    Disk(PathBuf, io::Error),
}

impl Kept {
    /// The files of the folder, each with its path there: the tables as they were read, and the list. None where the job
    /// was read from no file.
    ///
    /// # Errors
    ///
    /// A table that changed since it was read, or can be read no more.
    pub fn files(&self) -> Result<Vec<(String, Vec<u8>)>, NotKept> {
        let mut files = Vec::new();
        for (name, file) in &self.tables {
            let is_same = || ReadFile::now(&file.path).as_ref() == Some(file);
            let changed = || NotKept::Changed(file.path.to_path_buf());
            if !is_same() {
                return Err(changed());
            }
            let mut bytes = Vec::new();
            let most = file.bytes.saturating_add(1);
            let read = File::open(&file.path).and_then(|open| open.take(most).read_to_end(&mut bytes));
            read.map_err(|why| NotKept::Disk(file.path.to_path_buf(), why))?;
            if !is_same() || bytes.len() as u64 != file.bytes {
                return Err(changed());
            }
            files.push((format!("{FOLDER}/{name}"), bytes));
        }
        if !files.is_empty() {
            // Texts and lists alone: nothing in it can fail.
            let mut list = serde_json::to_vec_pretty(&self.list).unwrap_or_default();
            list.push(b'\n');
            files.push((format!("{FOLDER}/{LIST}"), list));
        }
        Ok(files)
    }
}

findings! {
    /// The folder of an estimate that a run was writing when it ended.
    fn broken_off() = error("broken-off",
        "a run that writes into this folder was broken off, or is still at it",
        "a folder whose files are one whole set",
        "run the command that writes into it once more (coilstick estimate JOB -o FOLDER): it sets right what was broken off");

    /// The list beside kept tables.
    fn damaged_list() = error("damaged-inputs",
        "the list of the kept tables is not as an estimate writes it",
        "the folder inputs as an estimate wrote it",
        "take the folder inputs from a copy, or name the job itself");
}
