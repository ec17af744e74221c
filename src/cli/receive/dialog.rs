//! Asks at the dock, line by line, and keeps the answers after each one, so that stopping loses nothing. Works over a
//! plain pipe. Decides no question; those are in `script`.

use crate::cli::evidence;
use crate::cli::failure::{Failure, notice};
use crate::cli::receive::script::{Question, Setting, Shape, Written, accept, follow};
use crate::cli::world::World;
use crate::files;
use serde_json::{Value, json};
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
    /// The clerk goes back to change the last answer.
    Stopped,
}

/// Answers so far, kept in a file.
#[derive(Debug)]
pub struct Answers {
    file: PathBuf,
    order: String,
    answers: Vec<String>,
}

impl Answers {
    /// Takes up the answers kept for an order, or starts anew.
    ///
    /// # Errors
    /// The file that keeps them cannot be read.
    pub fn take_up(file: PathBuf, order: &str) -> Result<Self, Failure> {
        let mut answers = Vec::new();
        if file.is_file() {
            let text = files::read_text(&file)?;
            let kept: Value = serde_json::from_str(&text).map_err(|_| spoilt(&file))?;
            if kept["order"] != order {
                return Err(spoilt(&file));
            }
            for answer in kept["answers"].as_array().ok_or_else(|| spoilt(&file))? {
                answers.push(answer.as_str().ok_or_else(|| spoilt(&file))?.to_owned());
            }
            if !answers.is_empty() {
                notice(&format!(
                    "going on where you stopped, after {} answers",
                    answers.len()
                ));
            }
        }
        Ok(Answers {
            file,
            order: order.to_owned(),
            answers,
        })
    }

    /// Takes the last answer away.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn back(&mut self) -> Result<(), Failure> {
        self.answers.pop();
        self.keep()
    }

    /// Forgets the answers: they are recorded.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn forget(self) -> Result<(), Failure> {
        Ok(files::remove(&self.file)?)
    }

    fn add(&mut self, answer: String) -> Result<(), Failure> {
        self.answers.push(answer);
        self.keep()
    }

    fn keep(&self) -> Result<(), Failure> {
        if let Some(folder) = self.file.parent() {
            files::make_folder(folder)?;
        }
        let text = json!({ "order": self.order, "answers": self.answers }).to_string();
        Ok(files::write(&self.file, text.as_bytes())?)
    }
}

fn spoilt(file: &Path) -> Failure {
    Failure::error(format!(
        "`{}` does not hold answers of this order",
        file.display()
    ))
    .hint("delete it to start anew")
}

/// Asks until everything is answered.
///
/// # Errors
/// The answers cannot be kept, the questions not shown.
pub fn ask(
    setting: &Setting<'_>,
    answers: &mut Answers,
    input: &mut dyn BufRead,
    world: &mut World,
) -> Result<Ended, Failure> {
    loop {
        let question = match follow(setting, &answers.answers) {
            Ok(written) => return Ok(Ended::Written(written)),
            Err(question) => question,
        };
        show(&question, world)?;
        let Some(typed) = line(input)? else {
            return Ok(Ended::Stopped);
        };
        match typed.trim() {
            "stop" => return Ok(Ended::Stopped),
            "back" => answers.back()?,
            _ => match accept(&question, &typed).and_then(|answer| there(&question, answer, world))
            {
                Ok(answer) => answers.add(answer)?,
                Err(why) => world.print(&format!("  {why}\n"))?,
            },
        }
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

fn show(question: &Question, world: &mut World) -> Result<(), Failure> {
    for line in &question.before {
        world.print(&format!("{line}\n"))?;
    }
    let default = match question.default.as_deref() {
        None => String::new(),
        Some("") => " [none]".to_owned(),
        Some(default) => format!(" [{default}]"),
    };
    world.print(&format!("  {}{default}: ", question.ask))?;
    world.finish()
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
