//! `classify`: hazard classes of a product, a material at a load, or a bare mixture, with the reasons.

use super::args::ClassifyArgs;
use super::files::{self, Workshop};
use super::{Answer, Stop, listed, open, sweep};
use crate::find::{Evidence, Finding, Level, Severity, Source};
use crate::hazard::label::{self, Elements, Law};
use crate::hazard::names::{Contributor, Names, names};
use crate::hazard::precaution::{self, Choice};
use crate::hazard::{Classification, Mixture, Reason, Rules, State, classify, statements};
use crate::product::{self, Load, Material, Product};
use crate::recipe;
use crate::yaml::{self, Value};
use jiff::civil::Date;
use serde_json::{Map, json};
use std::fmt::Write;
use std::path::Path;
use std::sync::Arc;

/// Said with every answer that rests on safety sheets.
const INVISIBLE: &str =
    "what the safety sheets leave out because it lies below their own cut-offs is invisible to this calculation";

/// What a file turned out to be.
enum Opened {
    Product(Box<Product>),
    Material(Arc<Material>),
    Mixture(Mixture, Option<Rules>),
}

/// Runs the command.
pub fn run(args: &ClassifyArgs) -> Result<Answer, Stop> {
    let on = args.on.unwrap_or_else(open::today);
    let (opened, mut findings) = opened(&args.file)?;
    let load = load(args)?;
    if let (Some(_), Opened::Product(_) | Opened::Mixture(..)) = (load, &opened) {
        return Err(wrong_use("`--load` is for a material: the file states its own composition", "leave `--load` out"));
    }
    let mut rules = args.rules.unwrap_or(Rules::Clp);
    let mixture = match &opened {
        Opened::Product(product) => {
            if args.sweep {
                return sweep::of_product(product, rules, on, args);
            }
            let (mixture, notes) = recipe::mixture(product).map_err(Stop::of)?;
            findings.extend(notes);
            findings.extend(as_weighed(product, &mixture, rules, on));
            mixture
        }
        Opened::Material(material) => {
            let Some(load) = load else {
                return Err(wrong_use(
                    "a material has to be in a candle before anything can be said of the candle",
                    "say how much: `--load 8 % --of total`, or `--of wax`",
                ));
            };
            let (mixture, notes) = recipe::at_load(material, load).map_err(Stop::of)?;
            findings.extend(notes);
            if let Some(old) = &args.against {
                return against(&mixture, old, load, rules, on, args.json);
            }
            mixture
        }
        Opened::Mixture(mixture, named) => {
            rules = args.rules.or(*named).unwrap_or(Rules::Clp);
            mixture.clone()
        }
    };
    if args.sweep {
        return Err(wrong_use("`--sweep` is for a product: it needs a recipe and a fill", "name a product file"));
    }
    let mut found = classify(&mixture, rules, on);
    if !matches!(opened, Opened::Mixture(..)) {
        found.warnings.push(INVISIBLE.to_owned());
    }
    let barred = !found.not_for_the_public().is_empty();
    let label = Label::of(&found, mixture.state)?;
    let text = if args.json {
        format!("{:#}\n", label.json(&found))
    } else {
        let mut text = label.text(&found, &mixture.name);
        if !findings.is_empty() {
            let _ = write!(text, "\n{}", listed(&findings));
        }
        text
    };
    Ok(Answer { text, found: barred })
}

/// One candle by itself is weighed the most coarsely: tells when that alone changes the label.
fn as_weighed(product: &Product, stated: &Mixture, rules: Rules, on: Date) -> Option<Finding> {
    let (pour, _) = recipe::pour(product, 1);
    let (weighed, _) = recipe::mixture_as_weighed(product, &pour?).ok()?;
    let (stated, weighed) = (classify(stated, rules, on), classify(&weighed, rules, on));
    (stated.signature() != weighed.signature()).then(|| {
        let shown = |c: &Classification| {
            let all: Vec<String> = c.classes.iter().map(ToString::to_string).chain(c.euh()).collect();
            if all.is_empty() { "nothing".to_owned() } else { all.join("; ") }
        };
        Finding::of(
            "hazard/as-weighed",
            Level::Warning,
            Severity::Policy,
            Some(Evidence::Policy),
            format!(
                "a single candle as your scales weigh it gives another label: {} instead of {}",
                shown(&weighed),
                shown(&stated)
            ),
            "keep the load a little further from the limit, or use a finer scale; see `--sweep`",
        )
        .at(product.places.of("recipe"), "this recipe")
    })
}

fn wrong_use(message: &str, cure: &str) -> Stop {
    Stop::input(Finding::input("hazard/wrong-use", message, cure))
}

fn load(args: &ClassifyArgs) -> Result<Option<Load>, Stop> {
    let share = args.share().map_err(|w| Stop::input(Finding::input("file/wrong-quantity", w.message, w.cure)))?;
    Ok(share.zip(args.of).map(|(share, of)| Load { share, of }))
}

/// Reads the file as what its keys say it is.
fn opened(path: &Path) -> Result<(Opened, Vec<Finding>), Stop> {
    let path = &open::typed(path);
    let source = files::read(path)?;
    let id = path.file_stem().and_then(|s| s.to_str()).unwrap_or("file").to_owned();
    let root = yaml::read(&source).map_err(Stop::input)?;
    let has = |key: &str| matches!(&root.value, Value::Map(entries) if entries.iter().any(|(k, _)| k.word == key));
    if has("ingredients") || has("mixture") {
        let (file, findings) = product::read_mixture(&source);
        let file = file.ok_or_else(|| Stop::of(findings.clone()))?;
        return Ok((Opened::Mixture(file.mixture, file.rules), findings));
    }
    if has("material") {
        return material(&source, &id).map(|(m, findings)| (Opened::Material(m), findings));
    }
    if has("product") || has("kind") {
        let (product, findings) = product::read(&source, &id, &Workshop::around(path));
        let product = product.ok_or_else(|| Stop::of(findings.clone()))?;
        return Ok((Opened::Product(Box::new(product)), findings));
    }
    Err(Stop::input(
        Finding::input(
            "hazard/other-file",
            "this is neither a product, nor a material, nor a mixture",
            "a mixture file begins with `mixture: NAME` and has `ingredients`; see `waxbill classify --help`",
        )
        .at(&root.place, "this file"),
    ))
}

fn material(source: &Arc<Source>, id: &str) -> Result<(Arc<Material>, Vec<Finding>), Stop> {
    let (material, findings) = product::read_material(source, id);
    let material = material.ok_or_else(|| Stop::of(findings.clone()))?;
    Ok((Arc::new(material), findings))
}

/// The elements of the label that follow from a classification.
pub(super) struct Label {
    elements: Elements,
    precautions: Vec<Choice>,
    names: Names,
}

impl Label {
    pub(super) fn of(found: &Classification, state: State) -> Result<Self, Stop> {
        let law = if found.rules == Rules::ClpGb { Law::Gb } else { Law::Eu };
        // Category 5 of the UN system has no row: CLP does not know it.
        let rows = found.classes.iter().filter(|c| c.class.is_of(Rules::Clp));
        let rows: Vec<(&str, &str)> = rows.map(|c| (c.class.abbreviation(), c.code.as_str())).collect();
        let product = precaution::Product { law, public: true, solid: state == State::Solid };
        let elements = label::elements(&rows, law).map_err(Stop::of)?;
        let precautions = precaution::choose(&rows, product).map_err(Stop::of)?;
        Ok(Self { elements, precautions, names: chosen(found, law) })
    }

    /// The shape documented in `docs/answers.md`.
    fn json(&self, found: &Classification) -> serde_json::Value {
        let names = |reasons: &[Reason]| reasons.iter().map(Reason::name).map(str::to_owned).collect::<Vec<_>>();
        let because: Map<String, serde_json::Value> =
            found.classes.iter().map(|c| (c.to_string(), json!(names(&c.because)))).collect();
        let ate_mix: Map<String, serde_json::Value> =
            found.ate_mix.iter().map(|(route, ate)| (route.to_string(), json!(ate))).collect();
        json!({
            "classes": found.classes,
            "because": because,
            "euh208": names(&found.euh208),
            "also_named": names(&found.also_named),
            "pictograms": self.elements.pictograms,
            "signal": self.elements.signal,
            "hazard_statements": self.elements.hazard,
            "precautionary_statements": self.precautions.iter().map(|c| c.code).collect::<Vec<_>>(),
            "ate_mix": ate_mix,
            "unknown_percent": found.unknown.to_percent_f64(),
            "warnings": found.warnings,
        })
    }

    fn text(&self, found: &Classification, name: &str) -> String {
        let mut out = format!("{name}, {} on {}\n", whose(found.rules), found.date);
        if found.classes.is_empty() {
            out += "\nnot classified\n";
        } else {
            out += "\nclasses\n";
        }
        for class in &found.classes {
            let sum = class.sum.map_or_else(String::new, |sum| format!(": {} the limit in sum", times(sum)));
            let _ = writeln!(out, "  {class}{sum}");
            for reason in &class.because {
                let _ = writeln!(out, "      {}", told(reason, class.sum.is_some()));
            }
        }
        for (heading, reasons) in [
            ("named in EUH208: contains …, may produce an allergic reaction", &found.euh208),
            ("named on the label beside those that cause the class", &found.also_named),
        ] {
            if !reasons.is_empty() {
                let _ = writeln!(out, "\n{heading}");
            }
            for reason in reasons {
                let _ = writeln!(out, "  {}", told(reason, false));
            }
        }
        self.label_text(found, &mut out);
        if !found.ate_mix.is_empty() {
            out += "\nacute toxicity estimate of the mixture\n";
            for (route, ate) in &found.ate_mix {
                let _ = writeln!(out, "  {route} {ate:.0} {}", route.unit());
            }
        }
        if !found.warnings.is_empty() {
            out += "\nto know\n";
            for w in &found.warnings {
                let _ = writeln!(out, "  {w}");
            }
        }
        out
    }

    fn label_text(&self, found: &Classification, out: &mut String) {
        if found.classes.is_empty() && found.euh208.is_empty() {
            return;
        }
        *out += "\nlabel\n";
        let pictograms: Vec<&str> = self.elements.pictograms.iter().map(|p| p.word()).collect();
        let signal = self.elements.signal.map_or("no signal word", |s| s.word());
        let pictograms = if pictograms.is_empty() { "no pictogram".to_owned() } else { pictograms.join(", ") };
        let _ = writeln!(out, "  {pictograms}; {signal}");
        let names = found.euh208.iter().map(Reason::name).collect::<Vec<_>>().join(", ");
        let mut codes = self.elements.hazard.clone();
        codes.extend((!found.euh208.is_empty()).then(|| "EUH208".to_owned()));
        codes.extend(self.precautions.iter().map(Choice::worded));
        for worded in codes {
            let code = worded.split('/').next().unwrap_or(&worded);
            let text = statements::printed(&worded, "en", &names, &[]).ok();
            let text = text.or_else(|| statements::statement(code, "en").map(str::to_owned)).unwrap_or_default();
            let _ = writeln!(out, "  {code}: {text}");
        }
        if !self.names.printed.is_empty() {
            let _ = writeln!(out, "  names: {}", self.names.printed.join(", "));
        }
        if !self.names.left_out.is_empty() {
            let _ = writeln!(out, "  contribute too, four names suffice: {}", self.names.left_out.join(", "));
        }
    }
}

/// The names of Article 18(3), from the reasons of the classes and the sensitisers beside them.
fn chosen(found: &Classification, law: Law) -> Names {
    let mut contributors: Vec<Contributor<'_>> = Vec::new();
    let reasons = found.classes.iter().flat_map(|c| c.because.iter().map(move |r| (r, Some(c.code.as_str()))));
    for (reason, code) in reasons.chain(found.also_named.iter().map(|r| (r, None))) {
        let at = contributors.iter().position(|c| c.name == reason.name()).unwrap_or_else(|| {
            let content = reason.content.to_parts();
            contributors.push(Contributor { name: reason.name(), causes: Vec::new(), elicits: false, content });
            contributors.len() - 1
        });
        let contributor = &mut contributors[at];
        match code {
            Some(code) => contributor.causes.push(code),
            None => contributor.elicits = true,
        }
    }
    names(&contributors, law)
}

pub(super) const fn whose(rules: Rules) -> &'static str {
    match rules {
        Rules::Clp => "CLP of the EU and Northern Ireland",
        Rules::ClpGb => "CLP of Great Britain",
        Rules::UnGhs => "UN GHS",
    }
}

/// `linalool 1.6 %: 1.6 times its limit of 1 %`.
fn told(reason: &Reason, in_a_sum: bool) -> String {
    let m = reason.m.filter(|m| *m > 1).map_or_else(String::new, |m| format!(" x M {m}"));
    let kind = if reason.is_specific { "specific limit" } else { "limit" };
    let head = format!("{} {}{m}", reason.name(), reason.content);
    match (reason.limit, in_a_sum) {
        (Some(limit), false) => format!("{head}: {} its {kind} of {limit}", times(reason.times)),
        (Some(limit), true) => format!("{head}: {:.1} % of the {kind} of {limit}", reason.times * 100.0),
        (None, true) => format!("{head}: {:.1} % of what makes the class", reason.times * 100.0),
        (None, false) => head,
    }
}

fn times(times: f64) -> String {
    let text = format!("{times:.3}");
    format!("{} times", text.trim_end_matches('0').trim_end_matches('.'))
}

/// Which statements change from an old sheet of the material to the new one.
fn against(new: &Mixture, old: &Path, load: Load, rules: Rules, on: Date, as_json: bool) -> Result<Answer, Stop> {
    let source = files::read(old)?;
    let id = old.file_stem().and_then(|s| s.to_str()).unwrap_or("old").to_owned();
    let (material, _) = material(&source, &id)?;
    let (old, _) = recipe::at_load(&material, load).map_err(Stop::of)?;
    let lines = |mixture: &Mixture| -> Result<Vec<(&'static str, String)>, Stop> {
        let found = classify(mixture, rules, on);
        let label = Label::of(&found, mixture.state)?;
        let mut lines: Vec<(&'static str, String)> = Vec::new();
        lines.extend(found.classes.iter().map(|c| ("class", c.to_string())));
        lines.extend(label.elements.pictograms.iter().map(|p| ("pictogram", p.to_string())));
        lines.extend(label.elements.signal.iter().map(|s| ("signal word", s.to_string())));
        lines.extend(label.elements.hazard.iter().map(|h| ("hazard statement", h.clone())));
        lines.extend(label.precautions.iter().map(|p| ("precautionary statement", p.code.to_owned())));
        lines.extend(found.euh208.iter().map(|r| ("EUH208", r.name().to_owned())));
        lines.extend(label.names.printed.iter().map(|n| ("name", n.clone())));
        Ok(lines)
    };
    let (before, after) = (lines(&old)?, lines(new)?);
    let only = |a: &[(&'static str, String)], b: &[(&'static str, String)]| -> Vec<(&'static str, String)> {
        a.iter().filter(|line| !b.contains(line)).cloned().collect()
    };
    let (gone, come) = (only(&before, &after), only(&after, &before));
    let text = if as_json {
        let shown = |list: &[(&str, String)]| {
            list.iter().map(|(what, text)| json!({ "what": what, "text": text })).collect::<Vec<_>>()
        };
        format!("{:#}\n", json!({ "gone": shown(&gone), "new": shown(&come) }))
    } else if gone.is_empty() && come.is_empty() {
        format!("nothing on the label changes at {} of {}\n", load.share, load.of.word())
    } else {
        let mut text = format!("at {} of {}, {} on {on}\n", load.share, load.of.word(), whose(rules));
        for (what, line) in &gone {
            let _ = writeln!(text, "  - {what}: {line}");
        }
        for (what, line) in &come {
            let _ = writeln!(text, "  + {what}: {line}");
        }
        text
    };
    Ok(Answer { text, found: !(gone.is_empty() && come.is_empty()) })
}
