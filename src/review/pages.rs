//! The pages of a review: one for all suppliers, one a supplier. Draws and prints nothing.

use crate::review::charts::funnel::Funnel;
use crate::review::charts::intervals::Intervals;
use crate::review::charts::pareto::Pareto;
use crate::review::charts::trend::Trend;
use crate::review::compare::{Comparison, Counted, Counting, Judged, compare};
use crate::review::facts::{ClaimFact, Facts};
use crate::review::measures::{Figure, Span, claims, costs, currencies, deliveries_of, figures};
use crate::review::month::Period;
use crate::review::sentences::sentences;
use crate::review::statistics::Share;

/// What suppliers are judged by: deliveries. Lines of one delivery go wrong together, and counted one by one they
/// would call out suppliers by chance.
pub const COUNTING: Counting<'static> = Counting {
    what: "deliveries",
    bad: "not as ordered",
};

/// The review of a month.
#[derive(Debug, Clone, PartialEq)]
pub struct Review {
    /// The period.
    pub period: Period,
    /// Who we are, where known.
    pub shop: Option<String>,
    /// The suppliers compared, over the twelve months.
    pub comparison: Comparison,
    /// The page for all.
    pub all: AllPage,
    /// A page a supplier, by name; never by rank.
    pub suppliers: Vec<SupplierPage>,
}

/// The page for all suppliers.
#[derive(Debug, Clone, PartialEq)]
pub struct AllPage {
    /// The figures of all together.
    pub figures: Vec<Figure>,
    /// The funnel around the shop's own average.
    pub funnel: Option<Funnel>,
    /// The rates with their intervals.
    pub intervals: Option<Intervals>,
    /// The months.
    pub trend: Option<Trend>,
    /// Kinds by cost, one a currency.
    pub costs: Vec<Costs>,
}

/// The page of one supplier.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplierPage {
    /// Its identifier.
    pub supplier: String,
    /// Its name, or its identifier where no name is known.
    pub name: String,
    /// What is said about it.
    pub judged: Judged,
    /// Its figures.
    pub figures: Vec<Figure>,
    /// Its months.
    pub trend: Option<Trend>,
    /// Its kinds by cost, one a currency.
    pub costs: Vec<Costs>,
    /// Its claims: opened or settled in the twelve months, or still open; oldest first.
    pub claims: Vec<ClaimFact>,
    /// Three sentences to say to them.
    pub sentences: [String; 3],
}

/// Kinds by cost in one currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Costs {
    /// The chart.
    pub chart: Pareto,
    /// How many findings are not in it, because no price is known.
    pub unpriced: u64,
}

/// Works out the review. Suppliers of whom nothing is known in the twelve months are left out.
pub fn review(facts: &[Facts], period: Period, shop: Option<&str>) -> Review {
    let mut known: Vec<&Facts> = facts.iter().filter(|facts| !is_empty(facts)).collect();
    known.sort_by_key(|facts| (facts.called().to_lowercase(), facts.supplier.clone()));
    let year = Span::year(period);
    let counted: Vec<Counted> = known
        .iter()
        .map(|facts| Counted {
            supplier: facts.called().to_owned(),
            bad: deliveries_of(facts, year, false).rest(),
        })
        .collect();
    let comparison = compare(&counted, COUNTING);
    let suppliers = known
        .iter()
        .zip(&comparison.judged)
        .map(|(facts, judged)| page(facts, judged, period))
        .collect();
    let all = AllPage {
        figures: figures(&known, period),
        funnel: Funnel::new(
            "Deliveries not as ordered, by supplier",
            COUNTING,
            &comparison,
        ),
        intervals: Intervals::new("The same with 95 % intervals", COUNTING, &comparison),
        trend: trend(&known, period),
        costs: costs_of(&known, period),
    };
    Review {
        period,
        shop: shop.map(str::to_owned),
        comparison,
        all,
        suppliers,
    }
}

impl Review {
    /// Returns the page of a supplier by its identifier or its name.
    pub fn page(&self, supplier: &str) -> Option<&SupplierPage> {
        self.suppliers
            .iter()
            .find(|page| page.supplier == supplier || page.name == supplier)
    }
}

fn is_empty(facts: &Facts) -> bool {
    facts.lines.is_empty()
        && facts.deliveries.is_empty()
        && facts.found.is_empty()
        && facts.due.is_empty()
        && facts.claims.is_empty()
}

fn page(facts: &Facts, judged: &Judged, period: Period) -> SupplierPage {
    let alone = [facts];
    let figures = figures(&alone, period);
    let trend = trend(&alone, period);
    let costs = costs_of(&alone, period);
    let year = Span::year(period);
    let mut listed: Vec<ClaimFact> = facts
        .claims
        .iter()
        .filter(|claim| {
            year.has(claim.drafted)
                || claim.closed.is_some_and(|closed| year.has(closed))
                || claims::is_open(claim, period.as_of)
        })
        .cloned()
        .collect();
    listed.sort_by_key(|claim| (claim.drafted, claim.number.clone()));
    SupplierPage {
        supplier: facts.supplier.clone(),
        name: facts.called().to_owned(),
        sentences: sentences(judged, facts, trend.as_ref(), &costs, period),
        judged: judged.clone(),
        figures,
        trend,
        costs,
        claims: listed,
    }
}

fn trend(all: &[&Facts], period: Period) -> Option<Trend> {
    let months: Vec<(String, Share)> = period
        .months()
        .map(|month| {
            let span = Span {
                from: month,
                to: month,
                as_of: period.as_of,
            };
            let share = all
                .iter()
                .map(|facts| deliveries_of(facts, span, false).rest())
                .sum();
            (month.to_string(), share)
        })
        .collect();
    Trend::new(
        "Deliveries not as ordered, month by month",
        COUNTING,
        &months,
    )
}

fn costs_of(all: &[&Facts], period: Period) -> Vec<Costs> {
    currencies(all)
        .into_iter()
        .filter_map(|currency| {
            let (rows, unpriced) = costs(all, period, &currency);
            let chart = Pareto::new("What was wrong, by cost", &currency, rows)?;
            Some(Costs { chart, unpriced })
        })
        .collect()
}
