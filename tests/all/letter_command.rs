//! `asordered letter` and `asordered schema letter`: a shop's own wording, before it is used.

use crate::support::{Run, program};
use asordered::claim::letter::templates::EMBEDDED;
use tempfile::TempDir;

#[test]
fn a_bad_template_is_told_at_its_place_and_stops_the_check() {
    Run::demo(&["letter", "check"])
        .file(
            "templates/letter.txt.hbs",
            "Dear {{to.name}},\n\n{{#if oder}}x{{/if}}\n",
        )
        .stderr(
            "templates/letter.txt.hbs:3:1: unknown name `oder`\n  hint: did you mean `order`?\n\
             1 problem; nothing was recorded or answered\n",
        )
        .status(2)
        .check();
}

#[test]
fn a_good_template_can_be_used_and_none_is_needed() {
    Run::demo(&["letter", "check"])
        .file(
            "templates/letter.txt.hbs",
            "Dear {{to.name}},\n{{> part-items.txt}}\n",
        )
        .stdout("templates/letter.txt.hbs can be used\n")
        .check();
    Run::demo(&["letter", "check"])
        .stdout("the shop has no templates of its own; the built-in ones are used\n")
        .check();
}

#[test]
fn the_built_in_templates_can_be_taken_as_a_start_and_are_not_written_over() {
    let folder = TempDir::new().unwrap();
    let run = |args: &[&str]| {
        program()
            .current_dir(folder.path())
            .args(args)
            .output()
            .unwrap()
    };
    assert!(run(&["letter", "templates", "templates"]).status.success());
    assert!(run(&["letter", "check"]).status.success());
    assert_eq!(
        std::fs::read_dir(folder.path().join("templates"))
            .unwrap()
            .count(),
        EMBEDDED.len()
    );
    assert_eq!(
        run(&["letter", "templates", "templates"]).status.code(),
        Some(2)
    );
}

#[test]
fn authors_can_read_every_name_of_a_letter() {
    let schema = Run::new(&["schema", "letter"]).json();
    assert_eq!(schema["title"], "asordered letter");
    let findings = &schema["properties"]["items"]["items"]["properties"]["parts"]["items"]["properties"]
        ["findings"]["items"]["properties"];
    assert_eq!(
        findings["identifiers"]["description"],
        "leaves, papers, receipts and slips it is about"
    );
}
