// Makes tests/map/hours_cases.txt: opening hours drawn at random from the grammar (OpenStreetMap wiki,
// Key:opening_hours/specification, version 0.7.2), each at a random time, with the answer of the npm package
// opening_hours 3.15.0 (LGPL-3.0-only). Not run by the build.
//
//   npm install opening_hours@3.15.0 && TZ=Europe/London node make_hours_cases.js COUNT [SEED] > hours_cases.txt
//
// The place is passed as text: with numbers the package takes the sun to rise at 06:00 every day. Times within
// three minutes of a change that hangs on the sun are left out, for the two sun formulas differ by seconds.
// Left out of the grammar, because the answer is a list of holidays or a guess: PH, SH, open ends (10:00+).
'use strict';
const opening_hours = require('opening_hours');

let seed = Number(process.argv[3] || 20270515);
function random() { // mulberry32
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
}
const below = n => Math.floor(random() * n);
const one = list => list[below(list.length)];
const maybe = (share, make) => (random() < share ? make() : '');
const two = n => String(n).padStart(2, '0');
const times = (least, most, make, by) => Array.from({length: least + below(most - least + 1)}, make).join(by);

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const DAYS = ['Mo', 'Tu', 'We', 'Th', 'Fr', 'Sa', 'Su'];

const clock = () => two(below(24)) + ':' + one(['00', '00', '15', '30', '45', '59']);
const event = () => {
    const name = one(['sunrise', 'sunset', 'dawn', 'dusk']);
    return random() < 0.6 ? name : `(${name}${one(['+', '-'])}0${below(3)}:${one(['00', '15', '30'])})`;
};
const point = () => (random() < 0.12 ? event() : clock());
const end = () => (random() < 0.06 ? one(['24:00', '25:00', '26:00']) : point());
const span = () => `${point()}-${end()}`;
const hours = () => (random() < 0.03 ? '24/7' : times(1, 2, span, ','));

const weekday = () => {
    const kind = random();
    if (kind < 0.45) return `${one(DAYS)}-${one(DAYS)}`;
    if (kind < 0.6) return `${one(DAYS)}[${one(['1', '2', '3', '4', '-1', '-2', '1,3', '2-4'])}]`;
    return one(DAYS);
};
const weekdays = () => times(1, 2, weekday, ',');

const day = () => two(1 + below(28));
const date = () => `${one(MONTHS)} ${day()}`;
const monthday = () => {
    const kind = random();
    if (kind < 0.3) return `${one(MONTHS)}-${one(MONTHS)}`;
    if (kind < 0.55) return `${date()}-${date()}`;
    if (kind < 0.65) return date();
    if (kind < 0.72) { const d = 1 + below(20); return `${one(MONTHS)} ${two(d)}-${two(d + 1 + below(8))}`; }
    if (kind < 0.78) return `${one(MONTHS)} ${one(DAYS)}[${one([1, -1])}]-${one(MONTHS)} ${one(DAYS)}[${one([1, -1])}]`;
    if (kind < 0.82) return one(['easter', 'easter -2 days', 'easter +1 day']);
    if (kind < 0.88) return `${2025 + below(4)} ${date()}-${2027 + below(3)} ${date()}`;
    if (kind < 0.92) return `${2025 + below(4)} ${one(MONTHS)}`;
    return one(MONTHS);
};
const years = () => one([() => String(2025 + below(5)), () => `${2024 + below(3)}-${2027 + below(3)}`,
                         () => `${2024 + below(5)}+`])();
const week = () => { const w = 1 + below(40); return `week ${two(w)}-${two(w + 1 + below(12))}` + maybe(0.3, () => '/2'); };
const wide = () => one([monthday, monthday, monthday, () => times(2, 2, monthday, ','), years, week])();

const state = () => one(['off', 'closed', 'open', 'unknown']);
const comment = () => ` "${one(['by appointment', 'ring; the bell', 'lambing'])}"`;
function rule() {
    const parts = [maybe(0.35, wide), maybe(0.6, weekdays), maybe(0.8, hours)].filter(s => s);
    const selects = parts.length > 0;
    let out = parts.join(' ') + maybe(selects ? 0.18 : 1, () => (selects ? ' ' : '') + state());
    return out + maybe(0.06, comment);
}
const value = () => {
    let out = rule();
    while (random() < 0.45) out += one(['; ', '; ', '; ', ', ', ' || ']) + rule();
    return out;
};

const place = {lat: '55.7', lon: '2.1', address: {country_code: 'gb', state: 'England'}}; // in the North Sea
function answer(hours, time) {
    if (hours.getUnknown(time)) return 'unknown';
    return hours.getState(time) ? 'open' : 'closed';
}
const local = t => `${t.getFullYear()}-${two(t.getMonth() + 1)}-${two(t.getDate())}T${two(t.getHours())}:${two(t.getMinutes())}`;

const wanted = Number(process.argv[2] || 6000);
let made = 0, tried = 0;
while (made < wanted && ++tried < wanted * 20) {
    const text = value();
    const time = new Date(2026 + below(3), below(12), 1 + below(28), below(24), below(60));
    if (text.length > 255) continue;
    try {
        const hours = new opening_hours(text, place, {mode: 0, locale: 'en'});
        const is = answer(hours, time);
        if (/sun|dawn|dusk/.test(text) && [-3, 3].some(m => answer(hours, new Date(time.getTime() + m * 60000)) !== is))
            continue;
        console.log([text, local(time), is].join('\t'));
        ++made;
    } catch (e) {
        if (process.env.SHOW_REFUSED) console.error(text + '\t' + e);
    }
}
