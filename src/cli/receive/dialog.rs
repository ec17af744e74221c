//! Asks at the dock, line by line, and keeps the answers after each one, so that stopping loses nothing. Works over a
//! plain pipe. Decides no question; those are in `script`.

use crate::cli::evidence;
use crate::cli::failure::{Failure, notice};
use crate::cli::receive::script::{Question, Setting, Shape, Written, accept, follow, help};
use crate::cli::world::World;
use crate::files;
use crate::report::terminal::wrap::{Page, wrap};
use serde_json::{Map, Value, json};
use std::io::BufRead;
use std::path::{Path, PathBuf};

/// Where answers so far are kept.
///
/// # Errors
/// A link leads out of the shop on the way.
pub fn draft_file(world: &World, order: &str) -> Result<PathBuf, Failure> {
    Ok(files::own(
        world.shop_folder(),
        format!("receipts/{order}.draft.json"),
    )?)
}

/// How the questions ended.
#[derive(Debug)]
pub enum Ended {
    /// All are answered.
    Written(Written),
    /// The clerk stopped; the answers are kept.
    Stopped,
}

/// What answers make, as far as they go.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sense {
    /// What is wrong with them, held against the order.
    pub problems: Vec<String>,
    /// What the clerk should know.
    pub notes: Vec<String>,
    /// Whether the questions would end with no goods counted; typing it once more changes nothing then.
    pub nothing: bool,
}

/// Answers so far, kept in a file.
#[derive(Debug)]
pub struct Answers {
    file: PathBuf,
    order: String,
    answers: Vec<String>,
    /// Every answer ever given, by its question: what going back left behind is offered again.
    given: Map<String, Value>,
    /// Whether the questions start in the middle.
    resumed: bool,
}

impl Answers {
    /// Takes up the answers kept for an order, or starts anew.
    ///
    /// # Errors
    /// The file that keeps them cannot be read.
    pub fn take_up(file: PathBuf, order: &str) -> Result<Self, Failure> {
        let mut answers = Vec::new();
        let mut given = Map::new();
        if file.is_file() {
            let text = files::read_text(&file)?;
            let kept: Value = serde_json::from_str(&text).map_err(|_| spoilt(&file))?;
            if kept["order"] != order {
                return Err(spoilt(&file));
            }
            for answer in kept["answers"].as_array().ok_or_else(|| spoilt(&file))? {
                answers.push(answer.as_str().ok_or_else(|| spoilt(&file))?.to_owned());
            }
            if let Some(kept) = kept["given"].as_object() {
                given.clone_from(kept);
            }
            match answers.len() {
                0 => {}
                1 => notice("going on where you stopped, after 1 answer"),
                many => notice(&format!("going on where you stopped, after {many} answers")),
            }
        }
        Ok(Answers {
            file,
            order: order.to_owned(),
            resumed: !answers.is_empty(),
            answers,
            given,
        })
    }

    /// Returns the answers.
    pub fn all(&self) -> &[String] {
        &self.answers
    }

    /// Takes the last answer away; it is offered again.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn back(&mut self) -> Result<(), Failure> {
        self.cut(self.answers.len().saturating_sub(1))
    }

    /// Goes back to the question after so many answers.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn cut(&mut self, many: usize) -> Result<(), Failure> {
        self.answers.truncate(many);
        self.resumed = true;
        self.keep()
    }

    /// Starts anew: nothing that was said stays.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn start_over(&mut self) -> Result<(), Failure> {
        self.answers.clear();
        self.given.clear();
        self.keep()
    }

    /// Forgets the answers: they are recorded.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn forget(self) -> Result<(), Failure> {
        Ok(files::remove(&self.file)?)
    }

    /// Returns what was said to the question before.
    fn before(&self, question: &Question) -> Option<String> {
        Some(self.given.get(&question.key())?.as_str()?.to_owned())
    }

    fn with(&self, answer: &str) -> Vec<String> {
        let mut all = self.answers.clone();
        all.push(answer.to_owned());
        all
    }

    fn add(&mut self, question: &Question, answer: String) -> Result<(), Failure> {
        self.given.insert(question.key(), json!(answer));
        self.answers.push(answer);
        self.keep()
    }

    fn keep(&self) -> Result<(), Failure> {
        if let Some(folder) = self.file.parent() {
            files::make_folder(folder)?;
        }
        let kept = json!({ "order": self.order, "answers": self.answers, "given": self.given });
        Ok(files::write(&self.file, kept.to_string().as_bytes())?)
    }
}

fn spoilt(file: &Path) -> Failure {
    Failure::error(format!(
        "`{}` does not hold answers of this order",
        file.display()
    ))
    .hint("delete it to start anew")
}

/// Asks until everything is answered. `sense` tells what answers make, held against the order: one that makes a new
/// problem is not taken, unless it is typed once more.
///
/// # Errors
/// The answers cannot be kept, the questions not shown.
pub fn ask(
    setting: &Setting<'_>,
    answers: &mut Answers,
    sense: &dyn Fn(&[String]) -> Sense,
    input: &mut dyn BufRead,
    world: &mut World,
) -> Result<Ended, Failure> {
    let mut refused: Option<(String, String)> = None;
    loop {
        let question = match follow(setting, &answers.answers) {
            Ok(written) => return Ok(Ended::Written(written)),
            Err(question) => question,
        };
        let before = answers.before(&question);
        show(&question, before.as_deref(), answers.resumed, world)?;
        answers.resumed = false;
        let Some(typed) = line(input)? else {
            return Ok(Ended::Stopped);
        };
        let typed = typed.trim();
        match typed.to_lowercase().as_str() {
            "stop" => return Ok(Ended::Stopped),
            "back" => {
                answers.back()?;
                continue;
            }
            "start over" => {
                answers.start_over()?;
                continue;
            }
            "?" | "help" => {
                say(&help(&question), world)?;
                say(
                    "`back` goes back, `stop` keeps it for later, `start over` forgets all",
                    world,
                )?;
                continue;
            }
            _ => {}
        }
        let answer = match (typed, before) {
            ("", Some(before)) => Ok(before),
            (typed, _) => accept(&question, typed),
        };
        let answer = answer
            .and_then(|answer| there(&question, answer, world))
            .and_then(|answer| not_later(setting, &question, answer));
        let answer = match answer {
            Ok(answer) => answer,
            Err(why) => {
                say(&why, world)?;
                continue;
            }
        };
        let old = sense(&answers.answers);
        let new = sense(&answers.with(&answer));
        if new.nothing {
            for problem in &new.problems {
                say(problem, world)?;
            }
            continue;
        }
        let this = (question.key(), answer);
        let mut stands = true;
        for problem in new
            .problems
            .iter()
            .filter(|new| !old.problems.contains(new))
        {
            stands = false;
            say(&format!("{}: {problem}", question.named()), world)?;
        }
        if !stands && refused.as_ref() != Some(&this) {
            say("type it once more to keep it, or another answer", world)?;
            refused = Some(this);
            continue;
        }
        for note in new.notes.iter().filter(|new| !old.notes.contains(new)) {
            say(&format!("note: {note}"), world)?;
        }
        refused = None;
        answers.add(&question, this.1)?;
    }
}

fn say(words: &str, world: &mut World) -> Result<(), Failure> {
    let mut page = Page::new(world.width);
    page.wrapped(2, words);
    world.print(&page.text())
}

/// Goods are not received tomorrow.
fn not_later(setting: &Setting<'_>, question: &Question, answer: String) -> Result<String, String> {
    let later = question.shape == Shape::Date
        && answer
            .parse::<chrono::NaiveDate>()
            .is_ok_and(|day| day > setting.today);
    if later {
        Err(format!("{answer} lies after today, {}", setting.today))
    } else {
        Ok(answer)
    }
}

/// Looks whether photographs are where the clerk says, and are photographs; a path counts from where the clerk stands or from the shop's
/// folder.
fn there(question: &Question, answer: String, world: &World) -> Result<String, String> {
    if question.shape != Shape::Photos {
        return Ok(answer);
    }
    for path in answer
        .split(',')
        .map(str::trim)
        .filter(|path| !path.is_empty())
    {
        let file = find(path, world).ok_or_else(|| format!("no file `{path}`"))?;
        evidence::fits(&file)?;
    }
    Ok(answer)
}

/// Returns where a photograph is.
pub fn find(path: &str, world: &World) -> Option<PathBuf> {
    [PathBuf::from(path), world.shop_folder().join(path)]
        .into_iter()
        .find(|path| path.is_file())
}

fn show(
    question: &Question,
    given: Option<&str>,
    resumed: bool,
    world: &mut World,
) -> Result<(), Failure> {
    let mut page = Page::new(world.width);
    if let Some(header) = question
        .header
        .as_ref()
        .filter(|header| resumed && !question.before.contains(header))
    {
        page.wrapped(0, header);
    }
    for line in &question.before {
        let indent = if question.header.as_ref() == Some(line) || question.about.is_empty() {
            0
        } else {
            2
        };
        page.wrapped(indent, line);
    }
    let default = match (given, question.default.as_deref()) {
        (Some(""), _) | (None, Some("")) => " [none]".to_owned(),
        (Some(given), Some("")) => format!(" [{given}; `-` for none]"),
        (Some(given), _) => format!(" [{given}]"),
        (None, Some(default)) => format!(" [{default}]"),
        (None, None) => String::new(),
    };
    let asked = format!("{}{default}:", question.ask);
    let lines = wrap(&asked, world.width.saturating_sub(12));
    for (place, line) in lines.iter().enumerate() {
        let indent = if place == 0 { "  " } else { "    " };
        let end = if place + 1 == lines.len() { ' ' } else { '\n' };
        page_text(&mut page, world, &format!("{indent}{line}{end}"))?;
    }
    world.finish()
}

/// Prints what the page has so far, then text that no new line follows.
fn page_text(page: &mut Page, world: &mut World, text: &str) -> Result<(), Failure> {
    let done = std::mem::replace(page, Page::new(world.width));
    world.print(&done.text())?;
    world.print(text)
}

/// Reads one line of at most 64 KiB; `None` at the end of the input.
///
/// # Errors
/// The input cannot be read or is not UTF-8.
pub fn line(input: &mut dyn BufRead) -> Result<Option<String>, Failure> {
    let mut text = String::new();
    let read = std::io::Read::take(&mut *input, 65_536)
        .read_line(&mut text)
        .map_err(|error| Failure::error(format!("cannot read the answers: {error}")))?;
    Ok((read > 0).then_some(text))
}
