//! Imports go one way, and every file says what it is for. The order of the layers is the one in DEVELOPERS.md.

use crate::support::root;
use std::path::{Path, PathBuf};

/// Layers from the core outwards; a layer may use those before it, never one of its own rank or after it.
const LAYERS: [&[&str]; 8] = [
    &["model"],
    &["trade"],
    &["intake", "check"],
    &["claim"],
    &["review"],
    &["report"],
    &["files", "book", "post"],
    &["cli"],
];

fn rank(module: &str) -> usize {
    LAYERS
        .iter()
        .position(|layer| layer.contains(&module))
        .unwrap_or_else(|| panic!("module `{module}` has no layer"))
}

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            out.push(path);
        }
    }
}

fn every_source() -> Vec<(String, String)> {
    let src = root().join("src");
    let mut paths = Vec::new();
    sources(&src, &mut paths);
    paths.sort();
    paths
        .iter()
        .map(|path| {
            let name = path.strip_prefix(&src).unwrap().display().to_string();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect()
}

/// `claim/value.rs` and `claim.rs` belong to `claim`.
fn module_of(name: &str) -> &str {
    name.split(['/', '.']).next().unwrap()
}

#[test]
fn imports_go_one_way() {
    let mut wrong = Vec::new();
    for (name, text) in every_source() {
        let own = module_of(&name);
        if matches!(own, "main" | "lib") {
            continue;
        }
        let code = text.split("#[cfg(test)]").next().unwrap();
        for (number, line) in code.lines().enumerate() {
            let line = line.split("//").next().unwrap();
            for path in line.split("crate::").skip(1) {
                let used: String = path
                    .chars()
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect();
                if used != own && rank(&used) >= rank(own) {
                    wrong.push(format!("{name}:{}: `{own}` uses `{used}`", number + 1));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_opens_with_what_it_is_for() {
    for (name, text) in every_source() {
        assert!(text.starts_with("//! "), "{name} has no module doc");
    }
}

#[test]
fn only_the_edges_lift_the_ban_on_the_outside() {
    for (name, text) in every_source() {
        let edge = matches!(module_of(&name), "files" | "book" | "post" | "cli" | "main");
        assert!(
            edge || !text.contains("allow(clippy::disallowed_methods"),
            "{name} is no edge"
        );
    }
}
