//! Modules and what they import: no two modules of one folder import each other, at any depth, and what DEVELOPERS.md
//! says that a module may not know, it does not import. Unit tests are not looked at: they may reach up.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use super::{Source, root, sources};

/// A module by its path from the root of the crate: `estimate`, `laying`, `run`.
type Module = Vec<String>;

/// A thing that a file names: its whole path from the root of the crate.
type Named = Vec<String>;

/// The module that a file is.
fn module(source: &Source) -> Module {
    let inside = source.path.trim_start_matches("src/").trim_end_matches(".rs").trim_end_matches("/mod");
    inside.split('/').filter(|part| !["lib", "main"].contains(part)).map(str::to_owned).collect()
}

/// The code of a file without comments and without its unit tests.
fn code(source: &Source) -> String {
    let text: Vec<&str> = source.code().map(|(_, line)| line).collect();
    let text = text.join("\n");
    text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default().to_owned()
}

/// The sources that are no unit tests: a file that is declared behind `#[cfg(test)]` is one.
fn tested() -> Vec<Source> {
    let mut list = sources("src");
    let mut tests: BTreeSet<Module> = BTreeSet::new();
    for source in &list {
        for declared in code(source).split("#[cfg(test)]").skip(1) {
            let declared = declared.split_once("mod ").filter(|(front, _)| front.trim().len() < 12);
            let name = declared.and_then(|(_, name)| name.split(';').next()).unwrap_or_default();
            tests.insert(module(source).into_iter().chain([name.to_owned()]).collect());
        }
    }
    list.retain(|source| !tests.contains(&module(source)));
    list
}

/// The leaves of what stands behind `use`: `a::{b, c::{d}}` is `a::b` and `a::c::d`.
fn leaves(tree: &str) -> Vec<String> {
    let tree = tree.trim();
    let Some(open) = tree.find('{') else {
        return vec![tree.split(" as ").next().unwrap_or_default().trim().to_owned()];
    };
    let (front, inside) = (&tree[..open], &tree[open + 1..tree.rfind('}').unwrap_or(tree.len())]);
    let (mut depth, mut begin, mut all) = (0, 0, Vec::new());
    for (at, c) in inside.char_indices().chain([(inside.len(), ',')]) {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                let part = inside[begin..at].trim();
                all.extend(
                    leaves(part)
                        .into_iter()
                        .filter(|leaf| !leaf.is_empty())
                        .map(|leaf| format!("{front}{leaf}")),
                );
                begin = at + 1;
            }
            _ => {}
        }
    }
    all
}

/// The whole path of a name as a module writes it; nothing where it is of another crate or of the file itself.
fn whole(path: &str, of: &Module, modules: &BTreeSet<Module>) -> Option<Named> {
    let mut parts = path.split("::").map(str::trim).filter(|part| !part.is_empty()).peekable();
    let mut at: Vec<String> = of.clone();
    match *parts.peek()? {
        "crate" => {
            parts.next();
            at.clear();
        }
        "self" => {
            parts.next();
        }
        "super" => {
            while parts.next_if(|part| *part == "super").is_some() {
                at.pop();
            }
        }
        first => {
            let child: Module = of.iter().cloned().chain([first.to_owned()]).collect();
            modules.contains(&child).then_some(())?;
        }
    }
    at.extend(parts.map(str::to_owned));
    Some(at)
}

/// What a file names, by `use` and by paths in its code.
fn named(text: &str, of: &Module, modules: &BTreeSet<Module>) -> Vec<Named> {
    let mut paths: Vec<String> = Vec::new();
    let mut rest = String::new();
    for statement in text.split_inclusive(';') {
        // What a folder hands on of its own children is no import.
        let trimmed = statement.trim_start();
        let line = trimmed.rsplit("\n").next().unwrap_or_default().trim_start();
        let begin = if trimmed.starts_with("use ") || trimmed.starts_with("pub") { trimmed } else { line };
        let bare = begin
            .trim_start_matches("pub(crate) ")
            .trim_start_matches("pub(super) ")
            .trim_start_matches("pub ");
        match bare.strip_prefix("use ") {
            Some(tree) if begin == bare => paths.extend(leaves(tree.trim_end_matches(';'))),
            Some(_) => {}
            None => rest.push_str(statement),
        }
    }
    for root in ["crate::", "super::", "self::"] {
        for (at, _) in rest.match_indices(root) {
            let alone = !rest[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':');
            let path: String =
                rest[at..].chars().take_while(|c| c.is_alphanumeric() || *c == '_' || *c == ':').collect();
            paths.extend(alone.then_some(path));
        }
    }
    paths.iter().filter_map(|path| whole(path, of, modules)).collect()
}

/// What folders hand on of their children, by `pub use`: the path under which it is known, and whose it is.
fn handed_on(list: &[Source], modules: &BTreeSet<Module>) -> BTreeMap<Named, Named> {
    let mut handed = BTreeMap::new();
    for source in list {
        let (of, text) = (module(source), code(source));
        for statement in text.split(';') {
            let Some(at) = statement.find("pub").filter(|at| statement[..*at].trim().is_empty()) else {
                continue;
            };
            let Some((_, tree)) = statement[at..].split_once("use ") else { continue };
            for leaf in leaves(tree) {
                if let (Some(path), Some(name)) = (whole(&leaf, &of, modules), leaf.rsplit("::").next()) {
                    handed.insert(of.iter().cloned().chain([name.to_owned()]).collect(), path);
                }
            }
        }
    }
    handed
}

/// What each module of the sources names, by the module whose it is.
fn all_named() -> BTreeMap<Module, Vec<Named>> {
    let list = tested();
    let modules: BTreeSet<Module> = list.iter().map(module).collect();
    let handed = handed_on(&list, &modules);
    let own = |mut path: Named| {
        // What is handed on may have been handed on before.
        for _ in 0..4 {
            let Some((length, to)) =
                (1..=path.len()).find_map(|length| Some((length, handed.get(&path[..length])?)))
            else {
                break;
            };
            path = to.iter().cloned().chain(path[length..].iter().cloned()).collect();
        }
        path
    };
    let names =
        |source: &Source| named(&code(source), &module(source), &modules).into_iter().map(own).collect();
    list.iter().map(|source| (module(source), names(source))).collect()
}

/// Which children of a folder import which others.
fn edges(folder: &Module, all: &BTreeMap<Module, Vec<Named>>) -> BTreeMap<String, BTreeSet<String>> {
    let children: BTreeSet<&String> = all
        .keys()
        .filter(|of| of.len() > folder.len() && of.starts_with(folder))
        .map(|of| &of[folder.len()])
        .collect();
    let mut edges: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (of, names) in all.iter().filter(|(of, _)| of.len() > folder.len() && of.starts_with(folder)) {
        let from = &of[folder.len()];
        for to in
            names.iter().filter(|name| name.starts_with(folder)).filter_map(|name| name.get(folder.len()))
        {
            if to != from && children.contains(to) {
                edges.entry(from.clone()).or_default().insert(to.clone());
            }
        }
    }
    edges
}

/// The modules that lead back to themselves.
fn in_circles(edges: &BTreeMap<String, BTreeSet<String>>) -> Vec<String> {
    let reached = |from: &String| {
        let mut seen: BTreeSet<&String> = BTreeSet::new();
        let mut open: Vec<&String> = edges.get(from).into_iter().flatten().collect();
        while let Some(next) = open.pop() {
            if seen.insert(next) {
                open.extend(edges.get(next).into_iter().flatten());
            }
        }
        seen
    };
    edges.keys().filter(|from| reached(from).contains(from)).cloned().collect()
}

#[test]
fn no_two_modules_of_one_folder_import_each_other() {
    let all = all_named();
    let folders: BTreeSet<Module> =
        all.keys().flat_map(|of| (0..of.len()).map(|depth| of[..depth].to_vec())).collect();
    assert!(
        folders.len() > 15 && all.values().map(Vec::len).sum::<usize>() > 1_000,
        "imports are found at all"
    );
    let circles: Vec<String> = folders
        .iter()
        .map(|folder| (folder, in_circles(&edges(folder, &all))))
        .filter(|(_, circle)| !circle.is_empty())
        .map(|(folder, circle)| format!("{}: {}", folder.join("::"), circle.join(", ")))
        .collect();
    assert!(circles.is_empty(), "{circles:#?}");
}

#[test]
fn what_a_module_may_not_know_it_does_not_import() {
    let all = all_named();
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let rows = text.lines().filter_map(|line| {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let [module, _, _, barred] = cells.as_slice() else { return None };
        let module = module.strip_prefix('`')?.strip_suffix('`')?;
        Some((module.to_owned(), barred.to_string()))
    });
    let (mut wrong, mut asked) = (Vec::new(), 0);
    for (name, barred) in rows {
        let of: Module = name.split("::").map(str::to_owned).collect();
        assert!(all.keys().any(|one| one.starts_with(&of)), "DEVELOPERS.md names {name}, which is no module");
        for barred in barred.split(',').map(|one| one.trim().trim_matches('`')).filter(|one| !one.is_empty())
        {
            asked += 1;
            let path: Named = barred.split("::").map(str::to_owned).collect();
            let folder = all.keys().any(|one| one.starts_with(&path));
            assert!(
                folder || all.values().flatten().any(|one| *one == path),
                "{name} may not know {barred}: there is none"
            );
            let knows = |one: &Named| one.starts_with(&path);
            wrong.extend(
                all.iter()
                    .filter(|(one, names)| one.starts_with(&of) && names.iter().any(knows))
                    .map(|(one, _)| format!("{} knows {barred}", one.join("::"))),
            );
        }
    }
    assert!(asked > 20, "{asked}");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn imports_are_found_in_every_way_they_can_be_written() {
    let text = "use super::{near::Thing, far::{A, B as C}};\npub use own::Own;\nuse std::fs;\nuse serde::Serialize;\n\
                fn f() { crate::ground::money::cents(1); other::call(); super::near::other(); }\n";
    let path = |path: &str| path.split("::").map(str::to_owned).collect::<Vec<_>>();
    let modules: BTreeSet<Module> =
        ["a", "a::b", "a::b::own", "a::near", "a::far"].iter().map(|one| path(one)).collect();
    let found = named(text, &path("a::b"), &modules);
    let found: Vec<String> = found.iter().map(|one| one.join("::")).collect();
    assert_eq!(
        found,
        [
            "a::near::Thing",
            "a::far::A",
            "a::far::B",
            "crate::ground::money::cents".trim_start_matches("crate::"),
            "a::near::other"
        ]
    );
}

#[test]
fn the_walk_stays_on_one_screen() {
    let text = fs::read_to_string(root().join("src/estimate/mod.rs")).unwrap();
    let from = text.find("pub fn estimate(").unwrap();
    let to = from + text[from..].find("\n}\n").unwrap();
    let walk = text.find("\nfn walk(").unwrap();
    let end = walk + text[walk..].find("\n}\n").unwrap();
    let lines = text[from..to].lines().count() + text[walk..end].lines().count();
    assert!(lines <= 75, "{lines} lines");
}
