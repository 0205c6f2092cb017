//! Regroup: what is wished of a plan, the plan that was found, and its end.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::State as Shared,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use crate::{
    code::AreaNumber,
    desk::{
        answer::{Go, Page, Refusal},
        bins::{fingerprint, require_seen},
        shell::{Place, Shell, Told, Visitor},
        state::Desk,
        words::desk_words,
    },
    job::{
        Plan, Planned, RegroupWish, Together, bin_by_text, open_plan, place_text, plan_regroup_unless, planned_line,
    },
    label::LIFTING,
    register::{Access, Area, Bin, MoveState, Register, RegisterError},
};

/// What things may have in common, as it is sent and as it is told.
const TOGETHER: [(&str, &str, Together); 5] = [
    ("note", "the same note", Together::Note),
    ("size", "the same size", Together::Size),
    ("bought", "the same day of buying", Together::Bought),
    ("order", "the same order", Together::Order),
    ("bin", "the same bin in their code", Together::Bin),
];

/// The form as it was filled in.
#[derive(Debug, Clone, Default)]
struct Typed {
    areas: Vec<String>,
    empty: String,
    keep: String,
    free: String,
    together: String,
}

#[derive(Debug, Template)]
#[template(path = "regroup.html")]
struct RegroupPage {
    shell: Shell,
    areas: Vec<Area>,
    plan: Option<Plan>,
    typed: Typed,
    refused: Option<String>,
}

impl RegroupPage {
    const LIFTING: &str = LIFTING;

    fn from(plan: &Plan, bin: &Bin) -> (usize, String) {
        plan.from_bin(bin)
    }

    fn place(bin: &Bin) -> String {
        place_text(&bin.place)
    }

    /// Whether anything of it was done: then it is carried out, or dropped.
    fn is_begun(plan: &Plan) -> bool {
        plan.kept.moves.iter().any(|one| one.state != MoveState::Open)
    }

    /// How far it is: another device may carry it out meanwhile.
    fn seen(plan: &Plan) -> String {
        fingerprint(&(&plan.kept.at, plan.kept.id, &plan.kept.moves))
    }

    fn told(plan: &Plan) -> Vec<String> {
        let worth = &plan.worth;
        let lines = [Some(plan.worth_text()), plan.grouped_text(), Some(plan.trips_text())];
        let behind = [worth.assumed_text(), worth.no_litres_text()];
        lines
            .into_iter()
            .chain(worth.over_full.iter().cloned().map(Some))
            .chain(behind)
            .flatten()
            .map(|line| desk_words(&line))
            .collect()
    }

    fn may_plan(&self) -> bool {
        !self.plan.as_ref().is_some_and(Self::is_begun)
    }

    fn heading(plan: &Plan) -> String {
        desk_words(&plan.heading())
    }

    fn progress(plan: &Plan) -> String {
        desk_words(&plan.progress_text())
    }

    fn has_area(&self, area: &Area) -> bool {
        self.typed.areas.contains(&area.number.to_string())
    }

    fn together() -> [(&'static str, &'static str, Together); 5] {
        TOGETHER
    }
}

/// The plan that is under way, or what is wished of a new one.
pub(super) async fn page(Shared(desk): Shared<Arc<Desk>>, visitor: Visitor) -> Result<Response, Refusal> {
    show(&desk, &visitor, Typed::default(), None).await
}

async fn show(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    typed: Typed,
    refused: Option<Refusal>,
) -> Result<Response, Refusal> {
    let (areas, plan) = desk.read(|register| Ok::<_, RegisterError>((register.areas()?, open_plan(register)?))).await?;
    let shell = visitor.shell(desk, "Regroup", Place::Regroup);
    let status = refused.as_ref().map_or(StatusCode::OK, |refusal| refusal.status);
    let refused = refused.map(|refusal| refusal.text);
    Ok((status, Page(RegroupPage { shell, areas, plan, typed, refused })).into_response())
}

/// Looks for a plan; that may take some seconds.
pub(super) async fn make(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    Form(fields): Form<Vec<(String, String)>>,
) -> Result<Response, Refusal> {
    let typed = typed(&fields);
    let asked = typed.clone();
    let wish = desk.read(move |register| wish(register, &asked)).await;
    let wish = match wish {
        Ok(wish) => wish,
        Err(refusal) => return show(&desk, &visitor, typed, Some(refusal)).await,
    };
    let (at, device) = (Arc::clone(&desk), visitor.device.id);
    let go = desk.works.start("Looking for the best plan", Place::Regroup, "/regroup", move |work| {
        let mut register = Register::open(at.path(), Access::Existing)?;
        let planned = plan_regroup_unless(&mut register, &wish, || work.is_cancelled())?;
        at.tell(device, told(&planned, &wish));
        Ok("/regroup".into())
    });
    Ok(go.into_response())
}

fn told(planned: &Planned, wish: &RegroupWish) -> Told {
    match planned {
        Planned::Kept(_, None) => Told::done("A plan was found. Nothing has moved yet.", None),
        Planned::Kept(_, Some(old)) => Told::done(
            format!(
                "A plan was found; plan {old}, of which nothing was done yet, gives way to it. Nothing has moved yet."
            ),
            None,
        ),
        Planned::NothingToGain(worth) => {
            let limits =
                [(wish.free.is_some(), "the limit of bins"), (!wish.keep.is_empty(), "keeping what is in bins")];
            let limits: Vec<&str> = limits.into_iter().filter_map(|(is_set, name)| is_set.then_some(name)).collect();
            let lines = [Some(worth.nothing_to_gain(&limits)), worth.assumed_text(), worth.no_litres_text()];
            let lines: Vec<String> = lines.into_iter().flatten().map(|line| desk_words(&line)).collect();
            Told { text: lines.join(" "), undo: None, is_warning: true }
        }
    }
}

fn typed(fields: &[(String, String)]) -> Typed {
    let all =
        |name: &str| fields.iter().filter(|(key, _)| key == name).map(|(_, value)| value.clone()).collect::<Vec<_>>();
    let one = |name: &str| all(name).into_iter().next().unwrap_or_default();
    Typed { areas: all("area"), empty: one("empty"), keep: one("keep"), free: one("free"), together: one("together") }
}

fn wish(register: &Register, typed: &Typed) -> Result<RegroupWish, Refusal> {
    let bins = |text: &str| {
        let codes = text.split([' ', ',', ';', '\n', '\r', '\t']).filter(|code| !code.is_empty());
        codes.map(|code| Ok(bin_by_text(register, code)?.code)).collect::<Result<Vec<_>, Refusal>>()
    };
    let number = || Refusal::input(format!("“{}” is no number of bins.", typed.free.trim()));
    let free = (!typed.free.trim().is_empty()).then(|| typed.free.trim().parse::<u16>().map_err(|_| number()));
    Ok(RegroupWish {
        areas: typed.areas.iter().map(|area| area.parse::<AreaNumber>()).collect::<Result<_, _>>()?,
        empty: bins(&typed.empty)?,
        keep: bins(&typed.keep)?,
        free: free.transpose()?.map(usize::from),
        together: TOGETHER.iter().find(|(name, ..)| *name == typed.together).map(|(.., together)| *together),
    })
}

#[derive(Debug, Deserialize)]
pub(super) struct DropForm {
    /// The plan that is seen, and how far it is.
    #[serde(default)]
    seen: String,
}

/// Ends the plan that is seen as it is.
pub(super) async fn drop_plan(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<DropForm>,
) -> Result<Response, Refusal> {
    let dropped = desk
        .change(move |register| {
            let plan = open_plan(register)?.ok_or(RegisterError::NoRegroup)?;
            require_seen(&form.seen, &RegroupPage::seen(&plan))?;
            register.drop_regroup()?;
            Ok::<_, Refusal>(plan)
        })
        .await;
    let plan = match dropped {
        Ok(plan) => plan,
        Err(refusal) => return show(&desk, &visitor, Typed::default(), Some(refusal)).await,
    };
    desk.tell(visitor.device.id, Told::done(dropped_text(&plan), None));
    Ok(Go("/regroup".into()).into_response())
}

fn dropped_text(plan: &Plan) -> String {
    let in_hand: Vec<String> =
        plan.in_state(MoveState::Taken).map(|planned| planned_line("in hand", planned)).collect();
    let back = if in_hand.is_empty() { "" } else { " Put back what is in hand, or stow it where it is to be." };
    let lines: Vec<String> =
        std::iter::once(plan.dropped_text()).chain(in_hand).map(|line| desk_words(&line)).collect();
    lines.join(" ") + back
}
