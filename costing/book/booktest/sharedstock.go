package booktest

// SharedStock is the text of a shop whose product X has two parts that are cut from the
// same bars, with a yield that is a range. 1702 and twice 582 of 2950 mm go on one bar.
const SharedStock = `kerfbook: 1
name: shared stock
country: "PT"
currency: EUR
suppliers: [{id: S, name: supplier S}]
rate_cards: [{id: card, from: 2026-01-01}]
materials: [{id: M, name: metal, density_g_cm3: 8, reclaim_per_kg: 2, recovered_share: 0.9, source: invented}]
stocks:
  - {id: BAR, name: bar, material: M, form: bar, length_mm: 3000, width_mm: 50, thickness_mm: 10}
offers:
  - {for: BAR, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 30}, {from: 10, price: 27}], inbound: {fixed: 12}}
work_centres:
  - {id: SAW, name: saw, machines: 1, machine_rate_per_h: 12, labour_rate_per_h: 24}
parts:
  - number: P0
    name: rail
    kind: made
    mass_g: 10
    blank: {stock: BAR, length_mm: 1700, kerf_mm: 2, end_cut_mm: 10, bar_end_mm: 40, keep_remnant_mm: 100, leftover_value: 0.5, share_stock: true}
    routing: [{number: 10, name: saw, kind: manual, work_centre: SAW, piece_min: 2, yield: {low: 0.8, likely: 0.95, high: 1}}]
  - number: P1
    name: foot
    kind: made
    mass_g: 10
    blank: {stock: BAR, length_mm: 580, kerf_mm: 2, end_cut_mm: 10, bar_end_mm: 40, keep_remnant_mm: 100, leftover_value: 0.5, share_stock: true}
    routing: [{number: 10, name: saw, kind: manual, work_centre: SAW, piece_min: 1}]
products:
  - number: X
    name: product
    positions: [{number: 10, part: P0, quantity: 1}, {number: 20, part: P1, quantity: 2}]
    trims: [{id: only, name: Only}]
prices:
  - {product: X, trim: only, channel: direct, margin: 0.3}
channels:
  - {id: direct, name: direct, tax: 0.23}
`
