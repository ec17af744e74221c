//! A shop's own templates: checked before use, every problem at its place.

use asordered::claim::letter::check::MOST_BYTES;
use asordered::claim::letter::data::{ItemData, LetterData, PartData};
use asordered::claim::letter::{LetterKind, Templates, render};

fn with(files: &[(&str, &str)]) -> Result<Templates, Vec<String>> {
    let own: Vec<(String, String, String)> = files
        .iter()
        .map(|(name, text)| {
            (
                (*name).to_owned(),
                format!("templates/{name}"),
                (*text).to_owned(),
            )
        })
        .collect();
    Templates::with(&own).map_err(|problems| {
        problems
            .iter()
            .map(|problem| match &problem.hint {
                Some(hint) => format!("{}: {}; hint: {hint}", problem.spot, problem.text),
                None => format!("{}: {}", problem.spot, problem.text),
            })
            .collect()
    })
}

#[track_caller]
fn refused(text: &str, problem: &str) {
    let problems = with(&[("letter.txt.hbs", text)]).expect_err("the template is refused");
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(problems[0].contains(problem), "{problem}: {problems:?}");
}

fn data() -> LetterData {
    LetterData {
        subject: "S".into(),
        order: "PO-1".into(),
        items: vec![ItemData {
            number: "1".into(),
            cause: None,
            parts: vec![PartData {
                place: "Line 1".into(),
                ask: "Please send <it>.".into(),
                ..PartData::default()
            }],
        }],
        ..LetterData::default()
    }
}

#[test]
fn the_built_in_templates_pass_the_check_of_a_shops_own() {
    let own: Vec<(&str, &str)> = asordered::claim::letter::templates::EMBEDDED.to_vec();
    let named: Vec<(String, &str)> = own
        .iter()
        .map(|(name, text)| (format!("{name}.hbs"), *text))
        .collect();
    let files: Vec<(&str, &str)> = named
        .iter()
        .map(|(name, text)| (name.as_str(), *text))
        .collect();
    assert_eq!(
        with(&files).map(|templates| templates.sources().len()),
        Ok(own.len())
    );
}

#[test]
fn a_shops_own_wording_takes_the_place_of_ours() {
    let templates = with(&[
        ("letter.txt.hbs", "Dear {{to.name}}, on {{order}}:\n{{> part-own.txt}}"),
        (
            "part-own.txt.hbs",
            "{{#each items}}{{number}} {{#each parts}}{{../number}}/{{@root.order}} {{ask}}{{/each}}{{/each}}",
        ),
    ])
    .unwrap();
    let letter = render(LetterKind::Notice, &data(), &templates).unwrap();
    assert_eq!(letter.text, "Dear , on PO-1:\n1 1/PO-1 Please send <it>.\n");
    assert!(letter.html.contains("Please send &lt;it&gt;."));
}

#[test]
fn an_unknown_name_is_found_wherever_it_stands() {
    refused(
        "a\n b {{oder}}",
        "letter.txt.hbs:2:4: unknown name `oder`; hint: did you mean `order`?",
    );
    refused("{{#if oder}}x{{/if}}", "unknown name `oder`");
    refused(
        "{{#unless shop.nmae}}x{{/unless}}",
        "unknown name `shop.nmae`; hint: did you mean `name`?",
    );
    refused(
        "{{#if order}}x{{else if oder}}y{{/if}}",
        "unknown name `oder`",
    );
    refused("{{#each items}}{{order}}{{/each}}", "unknown name `order`");
    refused(
        "{{#each items}}{{#each parts}}{{../nmber}}{{/each}}{{/each}}",
        "unknown name `../nmber`",
    );
    refused("{{pad oder 3}}", "unknown name `oder`");
    refused("{{#if (eq oder \"x\")}}y{{/if}}", "unknown name `oder`");
    refused("{{../order}}", "goes above the letter");
}

#[test]
fn a_name_must_stand_where_its_shape_fits() {
    refused(
        "{{items}}",
        "`items` is a list, expected a text; hint: use `{{#each items}}`",
    );
    refused("{{shop}}", "`shop` is a record, expected a text");
    refused("{{#each order}}x{{/each}}", "`each` expects a list");
    refused("{{#with items}}x{{/with}}", "`with` expects a record");
}

#[test]
fn helpers_partials_and_tricks_that_letters_do_not_need_are_refused() {
    refused("{{lookup shop \"name\"}}", "unknown helper `lookup`");
    refused(
        "{{padd order 3}}",
        "unknown helper `padd`; hint: did you mean `pad`?",
    );
    refused(
        "{{> part-itmes.txt}}",
        "unknown partial `part-itmes.txt`; hint: did you mean `part-items.txt`?",
    );
    refused("{{> letter.html}}", "unknown partial `letter.html`");
    refused("{{> part-items.html}}", "not for this sort of letter");
    refused("{{> (order)}}", "unknown partial");
    refused(
        "{{#*inline \"x\"}}y{{/inline}}",
        "decorators and inline partials",
    );
    refused("{{#each items as |item|}}x{{/each}}", "`as |name|`");
    refused("{{#if order}}x", "not a template");
    let problems = with(&[("letter.html.hbs", "<p>{{{purpose}}}")]).unwrap_err();
    assert!(
        problems[0].contains("`{{{` puts text into the page as it is"),
        "{problems:?}"
    );
}

#[test]
fn a_partial_that_leads_back_to_itself_is_refused_directly_or_through_others() {
    let problems = with(&[
        ("letter.txt.hbs", "{{> part-a.txt}}"),
        ("part-a.txt.hbs", "x {{> part-a.txt}}"),
    ])
    .unwrap_err();
    assert!(
        problems[0]
            .starts_with("templates/part-a.txt.hbs:1:3: partial `part-a.txt` leads to itself"),
        "{problems:?}"
    );
    let problems = with(&[
        ("letter.txt.hbs", "{{> part-a.txt}}"),
        ("part-a.txt.hbs", "{{#if order}}{{> part-b.txt}}{{/if}}"),
        ("part-b.txt.hbs", "{{> part-a.txt}}"),
    ])
    .unwrap_err();
    assert_eq!(problems.len(), 2, "{problems:?}");
    assert!(
        problems[0].contains("leads back to `part-a.txt`"),
        "{problems:?}"
    );
}

#[test]
fn a_template_has_a_largest_size_and_depth() {
    refused(&"x".repeat(MOST_BYTES + 1), "at most 65536 are taken");
    let deep = format!("{}x{}", "{{#if order}}".repeat(17), "{{/if}}".repeat(17));
    refused(&deep, "more than 16 deep");
    let far = format!(
        "{}x{}",
        "{{#if order}}".repeat(3000),
        "{{/if}}".repeat(3000)
    );
    refused(&far, "more than 16 deep");
    refused(
        &format!("{{{{#if {}order", "(not ".repeat(4000)),
        "more than 16 deep",
    );
    // Partials within partials multiply: 2 to the 20th parts.
    let names: Vec<String> = (0..21).map(|n| format!("part-{n}.txt.hbs")).collect();
    let texts: Vec<String> = (0..21)
        .map(|n| match n {
            20 => "x".to_owned(),
            n => format!("{{{{> part-{}.txt}}}}{{{{> part-{}.txt}}}}", n + 1, n + 1),
        })
        .collect();
    let mut files: Vec<(&str, &str)> = names
        .iter()
        .zip(&texts)
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    files.push(("letter.txt.hbs", "{{> part-0.txt}}"));
    let problems = with(&files).unwrap_err();
    assert!(problems[0].contains("too much to render"), "{problems:?}");
}

#[test]
fn a_file_that_no_letter_uses_is_told() {
    let problems = with(&[("leter.txt.hbs", "x")]).unwrap_err();
    assert_eq!(
        problems,
        [
            "templates/leter.txt.hbs:1:1: no letter uses a template `leter.txt.hbs`; hint: did you mean `letter.txt.hbs`?"
        ]
    );
}
