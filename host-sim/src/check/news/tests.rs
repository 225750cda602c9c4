//! Samples and what lies between them, in their order.

use super::*;

#[test]
fn all_there_is_to_read_is_counted() {
    let mut news = News::default();
    assert_eq!(news.len(), 0);
    let sample = Sample {
        t: 1.0,
        at: 0.0,
        x: 0.0,
        s: 0.0,
        on: 0.0,
        axis: 0,
        placed: true,
        firm: true,
        straight: true,
        leg: true,
    };
    news.event(Event::Rest);
    news.sample(sample);
    news.sample(sample);
    news.piece(&Segment::NONE);
    news.sample(sample);
    assert_eq!(news.len(), 5);
    let before: Vec<usize> = news.events.iter().map(|(before, _)| *before).collect();
    assert_eq!(before, [0, 2]);
    assert!(matches!(news.events[1].1, Event::Piece(0)));
    news.clear();
    assert_eq!((news.len(), news.pieces.len()), (0, 0));
}
