//! What came in during the last days and is not done: an enquiry at each step of its way, and calls that are due.

use std::sync::Arc;

use rand::SeedableRng;
use rand::rngs::StdRng;
use store::records::{CallBack, CallBackReason};
use store::{By, Store};
use workshop::enquiry_text::EnquiryText;

use super::plan::{HOUR_MS, Plan, Question};
use super::{DAY_MS, SEED};
use crate::problem::Handled;

/// How far an enquiry came.
enum Came {
    /// The van is known, nothing else.
    Begun,
    /// The van and what it carries are known; the facts that decide are not.
    FactsMissing,
    /// A quote is being written.
    Drafted,
    /// A quote was given, and the call about it is due.
    Given,
    /// A quote was taken; no job is booked.
    Taken,
}

/// Days and hours ago, and how far it came.
const OPEN: [(i64, i64, Came); 6] = [
    (4, 3, Came::Taken),
    (3, 1, Came::Given),
    (2, 6, Came::Given),
    (1, 5, Came::Drafted),
    (1, 2, Came::FactsMissing),
    (0, 1, Came::Begun),
];

/// Plays what is open today.
pub(super) async fn of_the_last_days(store: &Store, questions: &[Arc<Question>], now_ms: i64) -> Handled<()> {
    // the short questions first: what a caller says in one breath
    let mut asked: Vec<_> = questions.iter().filter(|question| question.kit.is_some()).collect();
    asked.sort_by_key(|question| question.question.len());
    for (n, ((days, hours, came), question)) in OPEN.iter().zip(asked).enumerate() {
        let at_ms = now_ms - days * DAY_MS - hours * HOUR_MS;
        let random = StdRng::seed_from_u64(SEED + 10_000 + n as u64);
        let plan = Plan::new(Arc::clone(question), random);
        play(store, plan, question, came, at_ms, now_ms).await?;
    }
    Ok(())
}

async fn play(
    store: &Store,
    mut plan: Plan,
    question: &Question,
    came: &Came,
    at_ms: i64,
    now_ms: i64,
) -> Handled<()> {
    let later = |hours: i64| By::new("office", "counter", (at_ms + hours * HOUR_MS).min(now_ms));
    let document = match came {
        Came::Begun => {
            EnquiryText::new("by-telephone", &question.question, &question.vehicle, &question.grade)
                .to_string()
        }
        Came::FactsMissing => without_facts(&question.document),
        _ => question.document.clone(),
    };
    let enquiry = plan.ring_up(store, &later(0), document).await?;
    if matches!(came, Came::Begun) {
        return Ok(());
    }
    if matches!(came, Came::FactsMissing) {
        if let Some(customer) = &enquiry.body.customer {
            let mut call = CallBack::due(customer, CallBackReason::Asked, now_ms);
            "Wanted to look under the van and tell us.".clone_into(&mut call.notes);
            store.add(&later(1), &call).await?;
        }
        return Ok(());
    }
    let asked = plan.answer_to(store, &later(0), enquiry).await?;
    let quote = plan.draft(store, &later(1), &asked).await?;
    if matches!(came, Came::Drafted) {
        return Ok(());
    }
    let quote = store.send_quote(&later(1), &quote.id, quote.version, now_ms - HOUR_MS).await?;
    if matches!(came, Came::Taken) {
        store.answer_quote(&later(30), &quote.id, quote.version, Some(0)).await?;
    }
    Ok(())
}

/// The document without what was answered about the van.
fn without_facts(document: &str) -> String {
    let Ok(mut text) = EnquiryText::read(document) else { return document.to_owned() };
    text.set(&["facts"], None);
    text.to_string()
}

#[cfg(test)]
mod tests {
    use store::EnquiryStage;

    use super::*;
    use crate::demo::on_disk::demo_files;
    use crate::demo::{first_revision, questions};

    #[tokio::test]
    async fn law_an_enquiry_stands_at_every_step_and_calls_are_due() {
        let folder = std::env::temp_dir().join(format!("demo-open-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let store = Store::open(&folder.join("demo.sqlite").display().to_string()).await.unwrap();
        let (files, now_ms) = (demo_files(), 1_790_000_000_000);
        first_revision(&store, &By::new("demo", "office", 0), &files).await.unwrap_or_else(|e| panic!("{e}"));
        let questions = questions(&files).unwrap_or_else(|e| panic!("{e}"));
        of_the_last_days(&store, &questions, now_ms).await.unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(store.enquiries_by_stage().await.unwrap(), [3, 2, 1, 0]);
        assert_eq!(
            store.call_backs(now_ms).await.unwrap().len(),
            3,
            "two quotes, and who looks under the van"
        );
        for stage in EnquiryStage::ALL {
            for (_, enquiry) in store.enquiries(Some(stage), None, 9).await.unwrap().enquiries {
                let age_days = (now_ms - enquiry.updated_ms) / DAY_MS;
                assert!((0..7).contains(&age_days), "{age_days}");
            }
        }
        store.close().await;
        drop(std::fs::remove_dir_all(&folder));
    }
}
