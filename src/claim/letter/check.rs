//! Checks templates before they are used: names, helpers, partials, depth, size. Renders nothing.
//!
//! A template may only name what the letter's data has, also inside `{{#if}}` where a misspelt name would be taken
//! for "no" without a word. It may use the helpers of `HELPERS` and partials that do not lead back to themselves.

use crate::claim::letter::shape::{Field, Shape, of_template};
use crate::claim::letter::templates::Source;
use crate::model::problem::Problem;
use crate::model::spot::Spot;
use crate::model::words::near;
use handlebars::template::{HelperTemplate, Parameter, Template, TemplateElement};
use handlebars::{Path, TemplateErrorReason};
use std::collections::{BTreeMap, BTreeSet};

/// The most bytes a template may have.
pub const MOST_BYTES: usize = 64 * 1024;
/// The deepest that blocks may stand in each other.
pub const MOST_DEPTH: usize = 16;
/// The deepest that `each` may stand in each other: what a letter's data has.
const MOST_EACH: usize = 4;
/// The most parts of a template that are looked at; partials within partials multiply.
const MOST_STEPS: usize = 20_000;
/// What a template may call. `pad` fills a text up to a width.
pub const HELPERS: [&str; 9] = [
    "if", "unless", "each", "with", "eq", "and", "or", "not", "pad",
];

/// Returns the problem of a file that is no template of ours.
pub fn unknown_file<'n>(
    path: &str,
    name: &str,
    names: impl Iterator<Item = &'n String>,
) -> Problem {
    let problem = Problem::new(
        &spot(path, 1, 1),
        format!("no letter uses a template `{name}.hbs`"),
    );
    match near(name, names.map(String::as_str)) {
        Some(name) => problem.hint(format!("did you mean `{name}.hbs`?")),
        None => problem.hint("partials of your own start with `part-`"),
    }
}

/// Returns every problem of every template.
pub fn all(sources: &BTreeMap<String, Source>) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut compiled: BTreeMap<&str, Template> = BTreeMap::new();
    for (name, source) in sources {
        match compile(source) {
            Ok(template) => {
                compiled.insert(name, template);
            }
            Err(problem) => problems.push(problem),
        }
    }
    if !problems.is_empty() {
        return problems;
    }
    problems.extend(recursion(sources, &compiled));
    if !problems.is_empty() {
        // A walk through partials that lead back to themselves would not end.
        return problems;
    }
    for (name, template) in &compiled {
        if name.starts_with("part-") {
            continue;
        }
        let mut walk = Walk {
            sources,
            compiled: &compiled,
            problems: &mut problems,
            steps: 0,
        };
        let mut scopes = vec![Scope {
            shape: Shape::Record(of_template(name)),
        }];
        walk.template(name, template, &mut scopes, 0);
        if walk.steps > MOST_STEPS {
            let file = &sources[*name].file;
            problems.push(
                Problem::new(
                    &spot(file, 1, 1),
                    "too much to render, with all its partials",
                )
                .hint("use each partial once or twice, not within one another"),
            );
        }
    }
    problems
}

fn spot(file: &str, line: usize, column: usize) -> Spot {
    Spot {
        file: file.into(),
        line,
        column,
    }
}

/// Compiles a template, after a look at its size and depth: the parser goes down a level a block.
fn compile(source: &Source) -> Result<Template, Problem> {
    let file = &source.file;
    if source.text.len() > MOST_BYTES {
        return Err(Problem::new(
            &spot(file, 1, 1),
            format!(
                "template has {} bytes, at most {MOST_BYTES} are taken",
                source.text.len()
            ),
        ));
    }
    if let Some(at) = too_deep(&source.text) {
        let (line, column) = place_of(&source.text, at);
        return Err(Problem::new(
            &spot(file, line, column),
            format!("blocks stand more than {MOST_DEPTH} deep in each other"),
        ));
    }
    Template::compile(&source.text).map_err(|error| {
        let (line, column) = error.pos().unwrap_or((1, 1));
        let text = match error.reason() {
            TemplateErrorReason::MismatchingClosedHelper(open, close)
            | TemplateErrorReason::MismatchingClosedDecorator(open, close) => {
                format!("`{{{{/{close}}}}}` closes nothing, expected `{{{{/{open}}}}}`")
            }
            other => format!("not a template: {}", first_line(&other.to_string())),
        };
        Problem::new(&spot(file, line, column), text).hint("look for an unclosed `{{` or block")
    })
}

fn first_line(text: &str) -> String {
    text.lines().next().unwrap_or_default().to_lowercase()
}

/// Returns where blocks or parentheses get too deep, counted on the text alone.
fn too_deep(text: &str) -> Option<usize> {
    let mut blocks = 0_usize;
    let mut parentheses = 0_usize;
    for (at, c) in text.char_indices() {
        let rest = &text[at..];
        if rest.starts_with("{{#") || rest.starts_with("{{~#") {
            blocks += 1;
        } else if rest.starts_with("{{/") || rest.starts_with("{{~/") {
            blocks = blocks.saturating_sub(1);
        } else if rest.starts_with("{{") {
            parentheses = 0;
        } else if c == '(' {
            parentheses += 1;
        } else if c == ')' {
            parentheses = parentheses.saturating_sub(1);
        }
        if blocks > MOST_DEPTH || parentheses > MOST_DEPTH {
            return Some(at);
        }
    }
    None
}

fn place_of(text: &str, at: usize) -> (usize, usize) {
    let before = &text[..at];
    let line = before.matches('\n').count() + 1;
    let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
    (line, column)
}

/// Returns a problem for every partial that leads back to itself, directly or through others.
fn recursion(
    sources: &BTreeMap<String, Source>,
    compiled: &BTreeMap<&str, Template>,
) -> Vec<Problem> {
    let uses: BTreeMap<&str, Vec<(String, usize, usize)>> = compiled
        .iter()
        .map(|(name, template)| {
            let mut used = Vec::new();
            partials(template, &mut used);
            (*name, used)
        })
        .collect();
    let mut problems = Vec::new();
    for (name, used) in &uses {
        for (partial, line, column) in used {
            if reaches(&uses, partial, name) {
                let way = if partial == name {
                    "leads to itself".to_owned()
                } else {
                    format!("leads back to `{name}`")
                };
                problems.push(
                    Problem::new(
                        &spot(&sources[*name].file, *line, *column),
                        format!("partial `{partial}` {way}"),
                    )
                    .hint("a letter would never end; take one of the two out"),
                );
            }
        }
    }
    problems
}

fn reaches(uses: &BTreeMap<&str, Vec<(String, usize, usize)>>, from: &str, to: &str) -> bool {
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut open = vec![from];
    while let Some(name) = open.pop() {
        if name == to {
            return true;
        }
        if seen.insert(name)
            && let Some(used) = uses.get(name)
        {
            open.extend(used.iter().map(|(partial, _, _)| partial.as_str()));
        }
    }
    false
}

fn partials(template: &Template, out: &mut Vec<(String, usize, usize)>) {
    for (place, element) in template.elements.iter().enumerate() {
        let (line, column) = position(template, place);
        match element {
            TemplateElement::PartialExpression(partial)
            | TemplateElement::PartialBlock(partial) => {
                if let Some(name) = plain_name(&partial.name) {
                    out.push((name, line, column));
                }
            }
            TemplateElement::HelperBlock(helper) => {
                for inner in [&helper.template, &helper.inverse].into_iter().flatten() {
                    partials(inner, out);
                }
            }
            _ => {}
        }
    }
}

fn position(template: &Template, place: usize) -> (usize, usize) {
    template
        .mapping
        .get(place)
        .map_or((1, 1), |mapping| (mapping.0, mapping.1))
}

fn plain_name(parameter: &Parameter) -> Option<String> {
    match parameter {
        Parameter::Name(name) => Some(name.trim_matches(['"', '\'']).to_owned()),
        Parameter::Path(path) => Some(raw(path).to_owned()),
        Parameter::Literal(value) => value.as_str().map(ToOwned::to_owned),
        _ => None,
    }
}

fn raw(path: &Path) -> &str {
    match path {
        Path::Relative((_, raw)) | Path::Local((_, _, raw)) => raw,
    }
}

/// What names are looked up in.
#[derive(Debug, Clone, Copy)]
struct Scope {
    shape: Shape,
}

struct Walk<'w> {
    sources: &'w BTreeMap<String, Source>,
    compiled: &'w BTreeMap<&'w str, Template>,
    problems: &'w mut Vec<Problem>,
    steps: usize,
}

impl Walk<'_> {
    fn problem(&mut self, name: &str, at: (usize, usize), text: String, hint: Option<String>) {
        let mut problem = Problem::new(&spot(&self.sources[name].file, at.0, at.1), text);
        problem.hint = hint;
        self.problems.push(problem);
    }

    fn template(&mut self, name: &str, template: &Template, scopes: &mut Vec<Scope>, each: usize) {
        for (place, element) in template.elements.iter().enumerate() {
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return;
            }
            let at = position(template, place);
            match element {
                TemplateElement::RawString(_) | TemplateElement::Comment(_) => {}
                TemplateElement::HtmlExpression(_) if name.ends_with(".html") => self.problem(
                    name,
                    at,
                    "`{{{` puts text into the page as it is".to_owned(),
                    Some("use `{{`, so that names and notes cannot change the page".to_owned()),
                ),
                TemplateElement::Expression(helper) | TemplateElement::HtmlExpression(helper) => {
                    self.expression(name, at, helper, scopes);
                }
                TemplateElement::HelperBlock(helper) => {
                    self.block(name, at, helper, scopes, each);
                }
                TemplateElement::PartialExpression(partial) => {
                    if !partial.params.is_empty() || !partial.hash.is_empty() {
                        self.problem(
                            name,
                            at,
                            "a partial takes no parameters here".to_owned(),
                            Some("put it into `{{#with}}` or `{{#each}}`".to_owned()),
                        );
                    }
                    self.partial(name, at, plain_name(&partial.name), scopes, each);
                }
                _ => self.problem(
                    name,
                    at,
                    "decorators and inline partials are not used in letters".to_owned(),
                    Some("put the text into a file `part-….hbs` of its own".to_owned()),
                ),
            }
        }
    }

    fn partial(
        &mut self,
        name: &str,
        at: (usize, usize),
        partial: Option<String>,
        scopes: &mut Vec<Scope>,
        each: usize,
    ) {
        let known = partial
            .as_deref()
            .and_then(|partial| self.compiled.get_key_value(partial));
        match known {
            Some((partial, template)) if partial.starts_with("part-") => {
                let (partial, template) = (*partial, template.clone());
                let same_sort = partial.rsplit('.').next() == name.rsplit('.').next();
                if !same_sort {
                    self.problem(
                        name,
                        at,
                        format!("`{partial}` is not for this sort of letter"),
                        Some(
                            "text letters use `.txt` partials, HTML letters `.html` ones"
                                .to_owned(),
                        ),
                    );
                }
                self.template(partial, &template, scopes, each);
            }
            Some(_) | None => {
                let partial = partial.unwrap_or_else(|| "(computed)".to_owned());
                let names = self.compiled.keys().copied();
                let hint = near(&partial, names.filter(|name| name.starts_with("part-")))
                    .map(|near| format!("did you mean `{near}`?"));
                self.problem(name, at, format!("unknown partial `{partial}`"), hint);
            }
        }
    }

    fn expression(
        &mut self,
        name: &str,
        at: (usize, usize),
        helper: &HelperTemplate,
        scopes: &[Scope],
    ) {
        if helper.params.is_empty() && helper.hash.is_empty() {
            if let Some(text) = plain_name(&helper.name) {
                match self.path(name, at, &text, scopes) {
                    Some(Shape::Text | Shape::MaybeText) | None => {}
                    Some(Shape::List(_)) => self.problem(
                        name,
                        at,
                        format!("`{text}` is a list, expected a text"),
                        Some(format!("use `{{{{#each {text}}}}}`")),
                    ),
                    Some(Shape::Record(_) | Shape::MaybeRecord(_)) => self.problem(
                        name,
                        at,
                        format!("`{text}` is a record, expected a text"),
                        Some(format!(
                            "use `{{{{#with {text}}}}}` or name one of its fields"
                        )),
                    ),
                }
            }
            return;
        }
        self.helper(name, at, helper, scopes);
    }

    fn helper(
        &mut self,
        name: &str,
        at: (usize, usize),
        helper: &HelperTemplate,
        scopes: &[Scope],
    ) {
        let called = plain_name(&helper.name).unwrap_or_default();
        if !HELPERS.contains(&called.as_str()) {
            let hint =
                near(&called, HELPERS.into_iter()).map(|near| format!("did you mean `{near}`?"));
            self.problem(
                name,
                at,
                format!("unknown helper `{called}`"),
                hint.or_else(|| Some(format!("there are {}", HELPERS.join(", ")))),
            );
        }
        for parameter in helper.params.iter().chain(helper.hash.values()) {
            self.parameter(name, at, parameter, scopes);
        }
    }

    fn parameter(
        &mut self,
        name: &str,
        at: (usize, usize),
        parameter: &Parameter,
        scopes: &[Scope],
    ) -> Option<Shape> {
        match parameter {
            Parameter::Name(text) => self.path(name, at, text, scopes),
            Parameter::Path(path) => self.path(name, at, raw(path), scopes),
            Parameter::Literal(_) => Some(Shape::Text),
            Parameter::Subexpression(inner) => {
                if let TemplateElement::Expression(helper) = inner.as_element() {
                    self.helper(name, at, helper, scopes);
                }
                Some(Shape::Text)
            }
            _ => None,
        }
    }

    fn block(
        &mut self,
        name: &str,
        at: (usize, usize),
        helper: &HelperTemplate,
        scopes: &mut Vec<Scope>,
        each: usize,
    ) {
        let called = plain_name(&helper.name).unwrap_or_default();
        if helper.block_param.is_some() {
            self.problem(
                name,
                at,
                "`as |name|` is not used in letters".to_owned(),
                Some("inside the block, `this` is the member".to_owned()),
            );
            return;
        }
        let mut inside = None;
        match called.as_str() {
            "each" | "with" => {
                let shape = match helper.params.first() {
                    Some(parameter) => self.parameter(name, at, parameter, scopes),
                    None => None,
                };
                inside = match (called.as_str(), shape) {
                    ("each", Some(Shape::List(items))) => Some(*items),
                    ("with", Some(shape @ (Shape::Record(_) | Shape::MaybeRecord(_)))) => {
                        Some(shape)
                    }
                    (_, None) => return,
                    (_, Some(_)) => {
                        let wanted = if called == "each" {
                            "a list"
                        } else {
                            "a record"
                        };
                        self.problem(name, at, format!("`{called}` expects {wanted}"), None);
                        return;
                    }
                };
            }
            "if" | "unless" => {
                for parameter in &helper.params {
                    self.parameter(name, at, parameter, scopes);
                }
            }
            _ => self.helper(name, at, helper, scopes),
        }
        let each = each + usize::from(called == "each");
        if each > MOST_EACH {
            self.problem(
                name,
                at,
                format!("`each` stands more than {MOST_EACH} deep in itself"),
                None,
            );
            return;
        }
        if let Some(body) = &helper.template {
            match inside {
                Some(shape) => {
                    scopes.push(Scope { shape });
                    self.template(name, body, scopes, each);
                    scopes.pop();
                }
                None => self.template(name, body, scopes, each),
            }
        }
        if let Some(body) = &helper.inverse {
            self.template(name, body, scopes, each);
        }
    }

    /// Looks a name up; `None` where it is unknown (and told) or not of the data (`@index`).
    fn path(
        &mut self,
        name: &str,
        at: (usize, usize),
        text: &str,
        scopes: &[Scope],
    ) -> Option<Shape> {
        if matches!(text, "@index" | "@first" | "@last") && scopes.len() > 1 {
            return Some(Shape::Text);
        }
        let (mut shape, rest) = if let Some(rest) = text.strip_prefix("@root") {
            (scopes.first()?.shape, rest.trim_start_matches(['.', '/']))
        } else {
            let mut rest = text;
            let mut up = 0;
            while let Some(above) = rest.strip_prefix("../") {
                rest = above;
                up += 1;
            }
            match scopes.len().checked_sub(1 + up) {
                Some(place) => (scopes[place].shape, rest),
                None => {
                    self.problem(name, at, format!("`{text}` goes above the letter"), None);
                    return None;
                }
            }
        };
        let rest = rest
            .strip_prefix("this")
            .map_or(rest, |rest| rest.trim_start_matches(['.', '/']));
        for part in rest.split(['.', '/']).filter(|part| !part.is_empty()) {
            let fields: &[Field] = match shape {
                Shape::Record(fields) | Shape::MaybeRecord(fields) => fields,
                Shape::Text | Shape::MaybeText | Shape::List(_) => &[],
            };
            match fields.iter().find(|field| field.name == part) {
                Some(field) => shape = field.shape,
                None => {
                    let names = fields.iter().map(|field| field.name);
                    let hint = match near(part, names.clone()) {
                        Some(near) => Some(format!("did you mean `{near}`?")),
                        None if fields.is_empty() => None,
                        None => Some(format!(
                            "there are {}",
                            names.collect::<Vec<_>>().join(", ")
                        )),
                    };
                    self.problem(name, at, format!("unknown name `{text}`"), hint);
                    return None;
                }
            }
        }
        Some(shape)
    }
}
