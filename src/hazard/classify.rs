//! A mixture to its classes: Annex I to Regulation (EC) No 1272/2008, parts 3 to 5, over the rows of `rules/hazard`.

use super::class::HazardClass;
use super::content::Sum;
use super::mixture::{Dose, Ingredient, Mixture, State, Substance};
use super::outcome::{Classification, Classified, Reason};
use super::table::{Counts, Limit, TABLES};
use super::{Content, Kind, Rules, acute};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Classifies a mixture by calculation, as the rules stand on a day.
#[must_use]
pub fn classify(mixture: &Mixture, rules: Rules, date: Date) -> Classification {
    let mut desk = Desk::new(mixture, rules, date);
    let acute = acute::acute(&mut desk);
    for class in HazardClass::all() {
        let concerned = |l: &&Limit| l.holds_for(mixture.state) && !desk.by_class[l.ingredient.index()].is_empty();
        let rows: Vec<&Limit> = TABLES.by_mixture[class.index()].iter().filter(concerned).collect();
        if !rows.is_empty() {
            desk.alone(class, &rows);
            desk.summed(class, &rows);
        }
    }
    desk.extreme_ph();
    desk.aspiration();
    let classes = desk.most_severe();
    let (euh208, also_named) = desk.named(&classes);
    desk.tell(&classes);
    Classification {
        rules,
        date,
        classes,
        euh208,
        also_named,
        ate_mix: acute.ate_mix,
        unknown: acute.unknown,
        warnings: desk.warnings,
    }
}

/// What has been found for one class.
#[derive(Debug, Default)]
pub(super) struct Found {
    pub because: Vec<Reason>,
    pub sum: Option<f64>,
}

/// Everything one classification needs at hand.
pub(super) struct Desk<'a> {
    pub mixture: &'a Mixture,
    pub rules: Rules,
    date: Date,
    /// Every substance once.
    pub ingredients: Vec<Ingredient>,
    /// For every class the ingredients that have it.
    pub by_class: Vec<Vec<usize>>,
    /// Ingredients that acute toxicity may concern.
    pub toxic: Vec<usize>,
    pub found: BTreeMap<HazardClass, Found>,
    pub warnings: Vec<String>,
}

/// One ingredient's part of a sum.
struct Term {
    at: usize,
    /// Content times M.
    amount: i128,
    limit: Content,
    is_specific: bool,
    m: Option<u32>,
}

impl<'a> Desk<'a> {
    fn new(mixture: &'a Mixture, rules: Rules, date: Date) -> Self {
        let ingredients = mixture.merged();
        let mut by_class = vec![Vec::new(); TABLES.classes.len()];
        for (at, ingredient) in ingredients.iter().enumerate() {
            for stated in &ingredient.substance.classes {
                let list: &mut Vec<usize> = &mut by_class[stated.class.index()];
                if list.last() != Some(&at) {
                    list.push(at);
                }
            }
        }
        let may_be_toxic = |s: &Substance| {
            s.ate.iter().any(Option::is_some)
                || s.unknown_toxicity.contains(&true)
                || s.classes.iter().any(|c| c.class.abbreviation().starts_with("Acute Tox."))
        };
        let toxic = (0..ingredients.len()).filter(|at| may_be_toxic(&ingredients[*at].substance)).collect();
        Self { mixture, rules, date, ingredients, by_class, toxic, found: BTreeMap::new(), warnings: Vec::new() }
    }

    /// Ingredients that reach a limit by themselves: sensitisers (3.4.3.3.1), CMR (3.5.3, 3.6.3, 3.7.3), STOT 1 and 2
    /// (3.8.3, 3.9.3), the classes of 2023, and skin and eyes where adding up does not hold (3.2.3.3.4, 3.3.3.3.4).
    fn alone(&mut self, class: HazardClass, rows: &[&Limit]) {
        let mut best: BTreeMap<usize, (Content, bool)> = BTreeMap::new();
        for row in rows {
            let not_additive = row.counts == Counts::WhenNotAdditive;
            if row.counts != Counts::Alone && !not_additive {
                continue;
            }
            for at in self.by_class[row.ingredient.index()].iter().copied() {
                if not_additive && self.adds_up(&self.ingredients[at].substance) {
                    continue;
                }
                let ingredient = &self.ingredients[at];
                let (limit, is_specific) = limit_of(&ingredient.substance, row);
                if ingredient.content >= limit && best.get(&at).is_none_or(|(l, _)| limit < *l) {
                    best.insert(at, (limit, is_specific));
                }
            }
        }
        for (at, (limit, is_specific)) in best {
            let reason = self.reason(at, Some(limit), is_specific, None);
            self.found.entry(class).or_default().because.push(reason);
        }
    }

    /// Ingredients that add up to a limit: skin and eyes (3.2.3.3, 3.3.3.3), STOT SE 3 by effect (3.8.3.4.5), aspiration
    /// (3.10.3.3), water (4.1.3.5.5: the first of the four steps that is reached counts). An ingredient counts once, by the
    /// row in which it weighs most. With specific limits the sum of contents over limits is held against one (3.2.3.3.5).
    fn summed(&mut self, class: HazardClass, rows: &[&Limit]) {
        let mut terms: BTreeMap<usize, Term> = BTreeMap::new();
        for row in rows {
            let times_m = row.counts == Counts::InASumTimesM;
            if row.counts != Counts::InASum && !times_m {
                continue;
            }
            let by_skin = matches!(row.mixture.group().word(), "skin" | "eye");
            for at in self.by_class[row.ingredient.index()].iter().copied() {
                let ingredient = &self.ingredients[at];
                if by_skin && !self.adds_up(&ingredient.substance) {
                    continue;
                }
                let (limit, is_specific) = limit_of(&ingredient.substance, row);
                if !counts(ingredient, row, limit, is_specific) {
                    continue;
                }
                let m = times_m.then(|| m_of(&ingredient.substance, row.ingredient));
                let amount = i128::from(ingredient.content.to_parts()) * i128::from(m.unwrap_or(1));
                let term = Term { at, amount, limit, is_specific, m };
                match terms.get(&at) {
                    Some(other) if !term.weighs_more_than(other) => {}
                    _ => drop(terms.insert(at, term)),
                }
            }
        }
        let mut sum = Sum::default();
        for term in terms.values() {
            sum.add(term.amount, i128::from(term.limit.to_parts()));
        }
        if terms.is_empty() || !sum.reaches_one() {
            return;
        }
        let reasons: Vec<Reason> =
            terms.values().map(|t| self.reason(t.at, Some(t.limit), t.is_specific, t.m)).collect();
        let found = self.found.entry(class).or_default();
        for reason in reasons {
            if !found.because.iter().any(|r| Arc::ptr_eq(&r.substance, &reason.substance)) {
                found.because.push(reason);
            }
        }
        found.sum = Some(sum.as_f64());
    }

    /// Whether an ingredient's effects on skin and eyes are added to others'.
    fn adds_up(&self, substance: &Substance) -> bool {
        substance.additive.unwrap_or(self.mixture.additive) && !substance.ph.is_some_and(is_extreme)
    }

    /// Acids of pH 2 or less and bases of pH 11.5 or more: as an ingredient from 1 % (Tables 3.2.4 and 3.3.4), and as
    /// the mixture's own pH (3.2.3.1.2).
    fn extreme_ph(&mut self) {
        let Some(corrosive) = HazardClass::named("Skin Corr. 1") else { return };
        let from = Content::of(crate::unit::Share::percent(1));
        for at in 0..self.ingredients.len() {
            let ingredient = &self.ingredients[at];
            let substance = Arc::clone(&ingredient.substance);
            if substance.ph.is_some_and(is_extreme) && ingredient.content >= from {
                let reason = self.reason(at, Some(from), false, None);
                let found = self.found.entry(corrosive).or_default();
                if !found.because.iter().any(|r| Arc::ptr_eq(&r.substance, &substance)) {
                    found.because.push(reason);
                }
            }
        }
        if let Some(ph) = self.mixture.ph.filter(|ph| is_extreme(*ph)) {
            let substance =
                Arc::new(Substance { name: format!("pH {ph} of the mixture"), ph: Some(ph), ..Substance::default() });
            let whole =
                Reason { substance, content: Content::WHOLE, limit: None, is_specific: false, m: None, times: 1.0 };
            self.found.entry(corrosive).or_default().because.push(whole);
        }
    }

    /// 3.10.3.3.1.1: besides 10 % in sum the mixture must flow: at most 20.5 mm²/s at 40 °C. A solid without a viscosity
    /// does not flow at 40 °C; of a liquid whose viscosity is unknown the worse is taken.
    fn aspiration(&mut self) {
        let Some(class) = HazardClass::named("Asp. Tox. 1").filter(|c| self.found.contains_key(c)) else { return };
        // 20.5 mm²/s in millionths.
        let thin = |v: Dose| v.to_millionths() <= 20_500_000;
        match (self.mixture.state, self.mixture.viscosity) {
            (_, Some(viscosity)) if thin(viscosity) => {}
            (State::Liquid, None) => self.warnings.push(
                "the kinematic viscosity at 40 °C is not known: taken as at most 20.5 mm²/s, so that `Asp. Tox. 1, H304` stays; \
                 a measured figure may lift it"
                    .to_owned(),
            ),
            _ => drop(self.found.remove(&class)),
        }
    }

    /// Of every group the most severe class, with the letters of its statement; only classes these rules have on this day.
    fn most_severe(&mut self) -> Vec<Classified> {
        let mut later = BTreeSet::new();
        let (rules, date) = (self.rules, self.date);
        self.found.retain(|class, _| {
            let (from, _) = class.since();
            let in_force = from.is_none_or(|from| date >= from);
            if class.is_of(rules) && !in_force {
                later.insert(format!("`{class}` from {}", from.map_or_else(String::new, |d| d.to_string())));
            }
            class.is_of(rules) && in_force
        });
        if !later.is_empty() {
            let list = later.into_iter().collect::<Vec<_>>().join(", ");
            self.warnings.push(format!("classes that are not yet due on {date}: {list}"));
        }
        let corrosive = self.found.keys().any(|c| c.code() == "H314");
        let mut kept: Vec<Classified> = Vec::new();
        for (class, found) in &self.found {
            let is_less = kept.iter().any(|k| k.class.group() == class.group());
            // Skin corrosion holds serious damage to eyes (Table 3.3.5, note: H314 alone is printed).
            if is_less || (corrosive && class.group().word() == "eye") {
                continue;
            }
            let mut because = found.because.clone();
            because.sort_by(|a, b| b.content.cmp(&a.content).then_with(|| a.name().cmp(b.name())));
            let organs: BTreeSet<String> = because
                .iter()
                .flat_map(|r| r.substance.classes.iter().filter(|s| s.class.group() == class.group()))
                .filter_map(|s| s.organs.clone())
                .collect();
            let code = self.code(*class);
            kept.push(Classified {
                class: *class,
                code,
                because,
                sum: found.sum,
                organs: organs.into_iter().collect(),
            });
        }
        if corrosive {
            self.warnings.push("`Skin Corr. 1` holds `Eye Dam. 1`: H314 tells both".to_owned());
        }
        kept
    }

    /// The statement with its letters. Reproduction: fertility (F, f) and the unborn child (D, d), capitals from category
    /// 1, small ones from category 2; without letters where a substance has none. Cancer: `H350i` only where all are.
    fn code(&self, class: HazardClass) -> String {
        let stated = || {
            self.found
                .iter()
                .filter(|(found, _)| found.group() == class.group())
                .flat_map(|(found, f)| f.because.iter().map(move |r| (*found, r)))
                .filter_map(|(found, r)| r.substance.classes.iter().find(|s| s.class == found))
        };
        let ending = |code: &str| code.trim_start_matches(|c: char| c == 'H' || c.is_ascii_digit()).to_owned();
        let plain = class.code().to_owned();
        match class.group().word() {
            "carcinogenicity" if class.endings().next().is_some() => {
                let mut same = stated().filter(|s| s.class.code() == class.code()).peekable();
                let all = same.peek().is_some() && same.all(|s| s.code.ends_with('i'));
                if all { plain + "i" } else { plain }
            }
            "reproductive toxicity" => {
                if stated().any(|s| s.class.code() == class.code() && ending(&s.code).is_empty()) {
                    return plain;
                }
                let of_second = class.category() == Some(2);
                let letters: String = stated().map(|s| ending(&s.code)).collect();
                let all: String = if letters.is_empty() { String::new() } else { letters };
                let has = |c: char| all.contains(c);
                let pick = |capital: char, small: char| match (has(capital) && !of_second, has(small)) {
                    (true, _) => Some(capital),
                    (false, true) => Some(small),
                    _ => None,
                };
                let mut ends: Vec<char> = pick('F', 'f').into_iter().chain(pick('D', 'd')).collect();
                ends.sort_by_key(|c| (c.is_lowercase(), *c == 'D' || *c == 'd'));
                plain + &ends.into_iter().collect::<String>()
            }
            _ => plain,
        }
    }

    /// Annex II 2.8: sensitisers from the elicitation limit of Table 3.4.6 on, or from one tenth of their specific limit
    /// on, that do not themselves cause the class: for EUH208 where the mixture is not classified as sensitising, else
    /// as names beside it.
    fn named(&self, classes: &[Classified]) -> (Vec<Reason>, Vec<Reason>) {
        if self.rules == Rules::UnGhs {
            return (Vec::new(), Vec::new());
        }
        let sensitising = |c: &&Classified| c.class.group().word().ends_with("sensitisation");
        let causes: Vec<&Reason> = classes.iter().filter(sensitising).flat_map(|c| &c.because).collect();
        let mut named: BTreeMap<usize, Reason> = BTreeMap::new();
        let rows = TABLES.limits.iter().filter(|l| l.counts == Counts::Elicits && l.holds_for(self.mixture.state));
        for row in rows {
            for at in self.by_class[row.ingredient.index()].iter().copied() {
                let ingredient = &self.ingredients[at];
                let own = specific(&ingredient.substance, row.mixture);
                let limit = own.map_or(row.from, |own| own.part(10));
                let caused = causes.iter().any(|r| Arc::ptr_eq(&r.substance, &ingredient.substance));
                if ingredient.content >= limit && !caused {
                    let reason = self.reason(at, Some(limit), own.is_some(), None);
                    match named.get(&at) {
                        Some(other) if other.limit <= reason.limit => {}
                        _ => drop(named.insert(at, reason)),
                    }
                }
            }
        }
        let named: Vec<Reason> = named.into_values().collect(); // by place: largest first
        if classes.iter().any(|c| sensitising(&c)) { (Vec::new(), named) } else { (named, Vec::new()) }
    }

    /// What was assumed, and what no calculation gives.
    fn tell(&mut self, classes: &[Classified]) {
        let mut told = Vec::new();
        for (name, word, has) in [
            ("Aquatic Acute 1", "acute", (|s| s.m.acute.is_some()) as fn(&Substance) -> bool),
            ("Aquatic Chronic 1", "chronic", |s| s.m.chronic.is_some()),
        ] {
            let names = self.names_with(|s| s.classes.iter().any(|c| c.class.abbreviation() == name) && !has(s));
            if !names.is_empty() {
                told.push(format!("no M factor ({word}) is known of {names}: taken as 1"));
            }
        }
        let physical = self.names_with(|s| s.classes.iter().any(|c| c.class.kind() == Kind::Physical));
        if self.mixture.state != State::Solid && !physical.is_empty() {
            told.push(format!(
                "{physical}: physical hazards such as the flash point are measured on the whole mixture, not calculated"
            ));
        }
        let supplemental = self.names_with(|s| !s.supplemental.is_empty());
        if !supplemental.is_empty() {
            told.push(format!("{supplemental}: supplemental statements are not calculated; see the sheet"));
        }
        let least = self.names_with(|s| s.classes.iter().any(|c| c.least));
        if !least.is_empty() {
            told.push(format!("{least}: a class marked `*` is the least severe one; own data may ask for a worse one"));
        }
        let total = self.ingredients.iter().fold(Content::ZERO, |sum, i| sum.plus(i.content));
        // Shares that do not end are rounded up, so a whole of many parts is a hair over itself.
        let hair = i64::try_from(self.mixture.ingredients.len()).unwrap_or(0).saturating_mul(2);
        if total.to_parts() > Content::WHOLE.to_parts().saturating_add(hair) {
            told.push(format!("the ingredients come to {total}, counted by their upper ends"));
        } else if total < Content::WHOLE {
            told.push(format!("{} of the mixture is not listed and counts as not hazardous", total.rest()));
        }
        for class in classes {
            if let (Some(from), Some(before)) = class.class.since()
                && self.date < before
            {
                told.push(format!("`{class}`: a mixture that was on the market before {from} may wait until {before}"));
            }
        }
        for class in classes.iter().filter(|c| c.class.bars_public_sale()) {
            let names = class.because.iter().map(|r| format!("`{}`", r.name())).collect::<Vec<_>>().join(", ");
            told.push(format!(
                "not for sale to the public: `{class}` because of {names} (Regulation (EC) No 1907/2006, Annex XVII entries 28 to 30)"
            ));
        }
        self.warnings.extend(told);
    }

    fn names_with(&self, holds: impl Fn(&Substance) -> bool) -> String {
        let names = self.ingredients.iter().filter(|i| i.content > Content::ZERO && holds(&i.substance));
        names.map(|i| format!("`{}`", i.substance.name)).collect::<Vec<_>>().join(", ")
    }

    #[expect(clippy::cast_precision_loss, reason = "for messages")]
    fn reason(&self, at: usize, limit: Option<Content>, is_specific: bool, m: Option<u32>) -> Reason {
        let ingredient = &self.ingredients[at];
        let amount = ingredient.content.to_parts() as f64 * f64::from(m.unwrap_or(1));
        let times = limit.map_or(1.0, |l| amount / (l.to_parts().max(1)) as f64);
        let substance = Arc::clone(&ingredient.substance);
        Reason { substance, content: ingredient.content, limit, is_specific, m, times }
    }
}

impl Term {
    /// Whether its part of the sum is larger. At most 10^15 x 10^8 x 10^15 on either side: within 127 bits.
    fn weighs_more_than(&self, other: &Self) -> bool {
        self.amount * i128::from(other.limit.to_parts()) > other.amount * i128::from(self.limit.to_parts())
    }
}

/// pH 2 and below, 11.5 and above.
fn is_extreme(ph: Dose) -> bool {
    ph.to_millionths() <= 2_000_000 || ph.to_millionths() >= 11_500_000
}

/// 1.1.2.2.2 and Art. 10: the substance's own limit for the class of the mixture, else the row's.
pub(super) fn limit_of(substance: &Substance, row: &Limit) -> (Content, bool) {
    specific(substance, row.mixture).map_or((row.from, false), |own| (own, true))
}

/// The lowest specific limit for a class of the mixture. Sub-categories of sensitisers lead to plain category 1; a limit of
/// any sub-category of skin corrosion serves for those below it that have none of their own.
pub(super) fn specific(substance: &Substance, class: HazardClass) -> Option<Content> {
    if substance.limits.is_empty() {
        return None;
    }
    let lowest =
        |holds: &dyn Fn(HazardClass) -> bool| substance.limits.iter().filter(|l| holds(l.class)).map(|l| l.from).min();
    if class.group().word().ends_with("sensitisation") {
        return lowest(&|c| c.group() == class.group());
    }
    if class.abbreviation() == "Skin Corr. 1" {
        return lowest(&|c| c.code() == "H314");
    }
    let own = substance.limits.iter().filter(|l| l.is_for(class)).map(|l| l.from).min();
    own.or_else(|| if class.code() == "H314" { lowest(&|c| c.code() == "H314") } else { None })
}

pub(super) fn m_of(substance: &Substance, class: HazardClass) -> u32 {
    let m = if class.code() == "H400" { substance.m.acute } else { substance.m.chronic };
    m.unwrap_or(1).max(1)
}

/// Table 1.1 and 4.1.3.1: whether an ingredient is there in an amount that counts. A specific limit below the generic
/// cut-off takes its place (1.1.2.2.2 (i)); cut-offs for water are divided by M.
fn counts(ingredient: &Ingredient, row: &Limit, limit: Content, is_specific: bool) -> bool {
    let Some(cut_off) = TABLES.cut_offs[row.ingredient.index()] else { return true };
    let m = if cut_off.divided_by_m { m_of(&ingredient.substance, row.ingredient) } else { 1 };
    let amount = i128::from(ingredient.content.to_parts()) * i128::from(m);
    amount >= i128::from(cut_off.from.to_parts()) || (is_specific && ingredient.content >= limit)
}
