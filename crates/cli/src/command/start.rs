//! `start`: writes a scenario; asks on a terminal, takes options in a pipe.

use std::io::{BufRead, IsTerminal, Write};

use warmhold::scenario::{self, Severity};

use super::hold::assumed;
use crate::args::{Job, Start};
use crate::failure::Failure;
use crate::job::{self, Drafted, Plan};
use crate::output;

/// Writes the scenario.
pub(crate) fn run(start: &Start) -> Result<u8, Failure> {
    if let Some(path) = &start.out {
        output::must_be_free(path, start.force)?;
    }
    let watched = std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
    let job = match watched {
        true => ask(&start.job, &mut std::io::stdin().lock(), &mut std::io::stderr())?,
        false => start.job.clone(),
    };
    let drafted = job::draft(&job, Plan::Schedule).map_err(|faults| incomplete(faults, watched))?;
    let text = drafted.draft.text();
    scenario::read(&text, "the scenario of these answers", &[]).map_err(Failure::Scenario)?;
    match &start.out {
        None => output::print(&text)?,
        Some(path) => {
            output::write_file(path, text.as_bytes(), start.force)?;
            output::print(&written(&drafted, &output::shown(path)))?
        }
    };
    Ok(0)
}

fn incomplete(faults: Vec<String>, watched: bool) -> Failure {
    let hint = match watched {
        true => "",
        false => "\nIn a pipe nothing is asked: give these options, or run `warmhold start` on a terminal.",
    };
    Failure::Options { faults, hint }
}

fn written(drafted: &Drafted, path: &str) -> String {
    let assumed = assumed(&drafted.offers).map_or_else(String::new, |list| list + "\n\n");
    format!("{assumed}The scenario is in {path}. Read it through, then: warmhold check {path}\n")
}

/// One question.
struct Question {
    option: &'static str,
    ask: &'static str,
    why: &'static str,
    answer: fn(&mut Job) -> &mut Option<String>,
}

const QUESTIONS: [Question; 8] = [
    Question {
        option: "--minimum",
        ask: "Minimum temperature, from your procedure",
        why: "No bead may start while any of the ring around the groove is colder. Only the procedure knows it.",
        answer: |job| &mut job.minimum,
    },
    Question {
        option: "--maximum",
        ask: "Maximum interpass temperature, from your procedure",
        why: "No bead may start while any of the ring is hotter. Only the procedure knows it.",
        answer: |job| &mut job.maximum,
    },
    Question {
        option: "--metal",
        ask: "Metal of the casting",
        why: "Iron carries the heat away twice as fast as tool steel. `warmhold metals` lists them.",
        answer: |job| &mut job.metal,
    },
    Question {
        option: "--size",
        ask: "Length x width x depth of the casting",
        why: "The depth under the repair matters most: give the section that is really there.",
        answer: |job| &mut job.size,
    },
    Question {
        option: "--groove",
        ask: "Length x width x depth of the groove",
        why: "The ring of metal around it is what must stay warm.",
        answer: |job| &mut job.groove,
    },
    Question {
        option: "--heated",
        ask: "Heated patch: diameter, or length x width",
        why: "A patch that ends at the ring cannot hold it. The hold grows with the square of the width.",
        answer: |job| &mut job.heated,
    },
    Question {
        option: "--to",
        ask: "Heat until the middle of the patch reads",
        why: "The ring is colder than that, and cools at once when the flame goes off.",
        answer: |job| &mut job.to,
    },
    Question {
        option: "--rate",
        ask: "Propane burnt, by mass or volume in a time",
        why: "Usually 15 to 50 % of its heat enters the metal: one timed heat-up tells you your own share.",
        answer: |job| &mut job.rate,
    },
];

/// Asks for what no option has said.
fn ask(job: &Job, input: &mut impl BufRead, prompt: &mut impl Write) -> Result<Job, Failure> {
    let mut job = job.clone();
    say(prompt, "A few questions. Enter takes what stands in brackets; Ctrl-C leaves without writing.\n");
    for question in &QUESTIONS {
        let said = (question.answer)(&mut job).is_some();
        let not_needed = match question.option {
            "--to" => job.for_time.is_some(),
            "--rate" => job.flux.is_some(),
            _ => false,
        };
        if !said && !not_needed {
            put(question, &mut job, input, prompt)?;
        }
    }
    Ok(job)
}

/// Asks until the answer can be read.
fn put(question: &Question, job: &mut Job, input: &mut impl BufRead, prompt: &mut impl Write) -> Result<(), Failure> {
    let offer = offer(question, job);
    // What is wrong without this answer is no reason to ask it again.
    let before = fault(question, job);
    let brackets = offer.as_ref().map_or_else(String::new, |offer| format!(" [{offer}]"));
    say(prompt, &format!("\n{}\n", question.why));
    loop {
        say(prompt, &format!("{}{brackets}: ", question.ask));
        let mut line = String::new();
        let length = input.read_line(&mut line).map_err(|error| Failure::Unreadable {
            origin: "standard input".to_owned(),
            reason: output::plain(&error),
        })?;
        if length == 0 {
            return Err(Failure::AnswersEnded);
        }
        let answer = line.trim();
        if answer.is_empty() && offer.is_some() {
            // Left unsaid, it is marked as an offer in the file.
            return Ok(());
        }
        *(question.answer)(job) = Some(answer.to_owned());
        match fault(question, job) {
            None => return Ok(()),
            fault if fault == before => return Ok(()),
            Some(fault) => {
                let line = format!("  {}", fault.replace("?\n", "? ").replace('\n', ". "));
                say(prompt, &format!("{}\n", output::wrapped(&line, 2)));
            }
        }
        *(question.answer)(job) = None;
    }
}

/// The job so far, with stand-ins for what has not been asked yet.
fn so_far(job: &Job, asked: &Question) -> Job {
    let or = |said: &Option<String>, stand_in: &str| said.clone().or_else(|| Some(stand_in.to_owned()));
    let maximum = or(&job.maximum, "1000 F");
    // The usual target may be below this minimum: it must not silence the offers of the other questions.
    let to = if asked.option == "--to" { job.to.clone() } else { job.to.clone().or_else(|| maximum.clone()) };
    Job { minimum: or(&job.minimum, "300 F"), maximum, to, ..job.clone() }
}

fn offer(question: &Question, job: &Job) -> Option<String> {
    let drafted = job::draft(&so_far(job, question), Plan::Schedule).ok()?;
    drafted.offers.into_iter().find(|offer| offer.option == question.option).map(|offer| offer.value)
}

/// What is wrong with the answer, alone or beside the earlier ones: a question later would be too late.
fn fault(question: &Question, job: &Job) -> Option<String> {
    let drafted = match job::draft(&so_far(job, question), Plan::Schedule) {
        Ok(drafted) => drafted,
        Err(faults) => {
            let mine = |fault: &String| fault.starts_with(question.option) && !fault.contains("is missing");
            let fault = faults.into_iter().find(mine)?;
            return Some(fault.trim_start_matches(question.option).trim_start_matches(": ").trim().to_owned());
        }
    };
    let problems = scenario::read(&drafted.draft.text(), "", &[]).err()?;
    let problem = problems.list.iter().find(|problem| problem.severity == Severity::Error)?;
    let help = problem.help.as_ref().map_or_else(String::new, |help| format!("; {help}"));
    Some(format!("{}{help}", problem.message))
}

/// Where the prompt cannot be shown, reading the answer will tell.
fn say(prompt: &mut impl Write, text: &str) {
    let _ = prompt.write_all(text.as_bytes()).and_then(|()| prompt.flush());
}

#[cfg(test)]
mod tests {
    use super::*;

    fn talk(job: &Job, answers: &str) -> (Result<Job, Failure>, String) {
        let mut prompt = Vec::new();
        let job = ask(job, &mut answers.as_bytes(), &mut prompt);
        (job, String::from_utf8(prompt).unwrap())
    }

    #[test]
    fn enter_takes_every_offer_but_never_a_temperature_of_the_procedure() {
        let (job, prompt) = talk(&Job::default(), "\n300 F\n\n500 F\n\n\n\n\n\n\n");
        let job = job.unwrap();
        assert_eq!((job.minimum.as_deref(), job.maximum.as_deref()), (Some("300 F"), Some("500 F")));
        assert!(job.metal.is_none(), "an offer stays unsaid");
        assert!(prompt.contains("[grey iron 250]") && prompt.contains("[320 mm]"), "{prompt}");
        let drafted = job::draft(&job, Plan::Schedule).unwrap();
        assert!(scenario::read(&drafted.draft.text(), "draft", &[]).is_ok());
    }

    #[test]
    fn an_answer_that_cannot_be_read_is_asked_again_with_a_reason() {
        let (job, prompt) = talk(&Job::default(), "300\n300 F\n500 F\nunobtainium\nD2\n2 m\n2 x 1 x 0.5 m\n\n\n\n\n");
        let job = job.unwrap();
        assert_eq!((job.metal.as_deref(), job.size.as_deref()), (Some("D2"), Some("2 x 1 x 0.5 m")));
        assert!(prompt.contains("\"300\" has no unit") && prompt.contains("3 sides are due"), "{prompt}");
        assert!(prompt.contains("unobtainium"), "{prompt}");
    }

    #[test]
    fn an_answer_that_contradicts_an_earlier_one_is_asked_again_at_once() {
        let answers =
            "300 F\n250 F\n500 F\n\n1 m x 1 m x 3 mm\n1 m x 1 m x 20 mm\n60 x 20 x 30 mm\n\n\n290 F\n400 F\n\n";
        let (job, prompt) = talk(&Job::default(), answers);
        let job = job.unwrap();
        assert_eq!((job.maximum.as_deref(), job.to.as_deref()), (Some("500 F"), Some("400 F")));
        for part in ["the minimum is not below it", "below what is accepted", "goes through", "stops below the minimum"]
        {
            assert!(prompt.contains(part), "{part} in {prompt}");
        }
        let drafted = job::draft(&job, Plan::Schedule).unwrap();
        assert!(scenario::read(&drafted.draft.text(), "draft", &[]).is_ok());
    }

    #[test]
    fn a_minimum_above_the_usual_target_keeps_the_other_offers() {
        let (job, prompt) = talk(&Job::default(), "600 F\n800 F\n\n\n\n\n700 F\n\n");
        assert!(job.is_ok() && prompt.contains("[grey iron 250]"), "{prompt}");
    }

    #[test]
    fn what_an_option_said_is_not_asked() {
        let said = Some("300 F".to_owned());
        let (job, prompt) = talk(&Job { minimum: said, ..Job::default() }, "500 F\n\n\n\n\n\n\n");
        assert!(job.is_ok() && !prompt.contains("Minimum"), "{prompt}");
    }

    #[test]
    fn answers_that_end_early_are_no_scenario() {
        assert!(matches!(talk(&Job::default(), "300 F\n").0, Err(Failure::AnswersEnded)));
    }
}
