//! Puts the sections together.

use heat::{Case, Probe, ProbeKind, Schedule};
use sha2::{Digest, Sha256};
use study::{Question, RingProbes, RingRule, WeldFacts, Window, ring_probes};

use crate::diagnostic::{Diagnostic, Problems, Severity, Source};
use crate::overrides::Override;
use crate::probes::Ground;
use crate::reader::Reader;
use crate::{
    Scenario, beside, casting, cautions, document, faces, hollows, oddities, passes, place, probes, ring_rule,
    schedule, steel, torch, window,
};

pub(crate) fn read(text: &str, origin: &str, overrides: &[Override]) -> Result<Scenario, Problems> {
    let mut problems = Vec::new();
    let root = document::parse(text, overrides, &mut problems);
    if problems.iter().any(|problem| problem.code == "E002") {
        // What a broken file seems to lack may well be there: only its syntax is judged.
        return Err(Problems::new(problems, sources(text, origin, overrides)));
    }
    let mut reader = Reader::new(&root, text.len(), problems);
    let scenario = scenario(&mut reader);
    too_large(&mut reader, &scenario);
    let failed = reader.has_errors();
    let problems = Problems::new(reader.into_problems(), sources(text, origin, overrides));
    if failed {
        return Err(problems);
    }
    let Scenario { case, mut question } = scenario;
    let warnings = problems.list.iter().filter(|problem| problem.severity == Severity::Warning);
    question.warnings = warnings.map(|problem| problems.one_line(problem)).collect();
    question.input_sha256 = digest(text, overrides);
    Ok(Scenario { case, question })
}

fn sources(text: &str, origin: &str, overrides: &[Override]) -> Vec<Source> {
    let file = Source { name: origin.to_owned(), text: text.to_owned() };
    let set = |change: &Override| Source { name: "--set".to_owned(), text: change.text().to_owned() };
    std::iter::once(file).chain(overrides.iter().map(set)).collect()
}

fn digest(text: &str, overrides: &[Override]) -> String {
    let mut hash = Sha256::new();
    hash.update(text);
    for change in overrides {
        hash.update("\n--set ");
        hash.update(change.text());
    }
    hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Reads every section. Where something is wrong the result is not meaningful, and not used.
fn scenario(reader: &mut Reader) -> Scenario {
    let block = casting::block(reader);
    let face = [block.size[0], block.size[1]];
    let hollows = hollows::hollows(reader, block);
    let metal = casting::metal(reader);
    let patch = place::patch(reader, face);
    let (surfaces, face_ranges) = faces::faces(reader, block, patch);
    if let Some(patch) = patch {
        hollows::keep_clear(reader, &hollows, (patch, block.size));
    }
    let groove = place::groove(reader, face, patch);
    let under_groove = groove.map_or(f64::NAN, |groove| hollows.thickness_under(block.size[2], groove.centre()));
    let (ring_width, ring_rule) = ring_rule::width(reader, under_groove);
    let ring = place::ring(reader, groove, ring_width);
    place::cut_ring(reader, ring, face);
    let heater = torch::torch(reader, patch);
    let window = window::window(reader);
    let probes = probes::probes(reader, &Ground { size: block.size, hollows: &hollows, patch, ring });
    let mut case = Case {
        block,
        hollows,
        material: metal.material,
        start_c: reader.number("casting.start"),
        surfaces,
        torches: heater.torch.into_iter().collect(),
        heaters: Vec::new(),
        covers: Vec::new(),
        schedule: Schedule::Spans { on: Vec::new(), end_s: 0.0 },
        passes: None,
        probes,
        output_s: Vec::new(),
    };
    let ring_probes = ring.zip(patch).filter(|_| window.is_some()).map(|(ring, patch)| {
        centre_on_casting(&mut case, patch);
        (ring, ring_probes(&mut case, ring, patch))
    });
    case.schedule = schedule::schedule(reader, &case);
    schedule::need_heat(reader);
    let work = passes::passes(reader, face, groove);
    case.passes = work.as_ref().map(|work| work.passes.clone());
    passes::bind(reader, &mut case);
    passes::fit(reader, &case);
    hollows::level_beads(reader, &case);
    beside::beside(reader, &mut case);
    oddities::odd(reader, &case, groove);
    case.output_s = window::output(reader, &case.schedule);
    let mut question = question(reader, &case, window, ring_probes);
    let arc_range = work.as_ref().and_then(|work| work.range.clone());
    question.ranges = metal.ranges.into_iter().chain(heater.range).chain(face_ranges).chain(arc_range).collect();
    question.brittle = metal.preset.filter(|preset| preset.id == "grey_iron_250").map(|_| cautions::GREY_IRON_250);
    let (beads, assumed) = work.map_or_else(Default::default, |work| (work.facts, work.assumed));
    question.weld = WeldFacts { beads, steel: steel::steel(metal.preset), assumed };
    question.ring_rule = ring_rule;
    question.cautions = cautions::cautions(&case, reader, metal.preset);
    question.supply = heater.supply;
    question.metal = metal.name;
    Scenario { case, question }
}

fn question(
    reader: &mut Reader,
    case: &Case,
    window: Option<Window>,
    ring: Option<(heat::Ring, RingProbes)>,
) -> Question {
    Question {
        title: reader.text("title").unwrap_or_default().to_owned(),
        metal: String::new(),
        window,
        ring,
        guard_k: reader.optional("schedule.cycles.interval.guard").unwrap_or(0.0),
        working_time_s: reader.optional("schedule.cycles.interval.working_time"),
        watches: probes::watches(reader, case),
        ranges: Vec::new(),
        supply: None,
        circle_s: reader.optional("torch.circles.period"),
        weld: WeldFacts::default(),
        ring_rule: RingRule::default(),
        last_temper_c: reader.optional("casting.last_temper"),
        brittle: None,
        cautions: Vec::new(),
        warnings: Vec::new(),
        accuracy: window::accuracy(reader),
        request: window::request(reader),
        input_sha256: String::new(),
    }
}

/// Refuses a grid that no run could hold, before anything is computed.
fn too_large(reader: &mut Reader, scenario: &Scenario) {
    if reader.has_errors() {
        return;
    }
    let accuracy = &scenario.question.accuracy;
    let taken = heat::forecast(&scenario.case, accuracy, heat::Method::default());
    let Err(heat::Error::TooLarge { cells, megabytes, most_megabytes }) = taken else { return };
    let message = format!("this takes a grid of {cells} cells and {megabytes} MB, and {most_megabytes} MB is the most");
    let patch = if reader.has("patch") { "patch" } else { "casting" };
    let problem = Diagnostic::error("E038", message)
        .at(reader.key_place(patch), "so fine")
        .at(reader.place("casting.length"), "in so large a casting");
    let help = "heat a wider patch, give a smaller casting around it, or ask for fewer accuracy.cells_across";
    reader.report(problem.help(format!("{help} (now {})", accuracy.cells_across)));
}

/// The middle of a patch that hangs over an edge may lie off the casting: its probe then sits on the edge.
fn centre_on_casting(case: &mut Case, patch: heat::Shape) {
    let [x, y] = patch.centre();
    let [length, width, _] = case.block.size;
    let on = [x.max(0.0).min(length), y.max(0.0).min(width)];
    if on != [x, y] {
        let kind = ProbeKind::Point { at: [on[0], on[1], case.floor_depth()] };
        case.probes.push(Probe { name: "patch_centre".to_owned(), kind });
    }
}
