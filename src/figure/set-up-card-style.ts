/**
 * The style of set-up cards, for a file that has no style sheet beside it. figure.css holds the same text
 * for the page (a test compares them): ink on white paper in both, since a card is printed and written on.
 */
export const SET_UP_CARD_STYLE = `.card {
  --sheet: #ffffff;
  --ink: #1a1a1a;
  --ink-soft: #555555;
  --line: #d0d0d0;
  --line-strong: #8c8c8c;
  --grid: #ececec;
  --accent: #1a1a1a;
  --accent-soft: #cccccc;
  --holds: #1a1a1a;
  --fails: #1a1a1a;
  --depends: #1a1a1a;
  --open: #555555;
  box-sizing: border-box;
  max-width: 192mm;
  margin: 0 auto;
  padding: 4mm 0;
  color: #1a1a1a;
  background: #ffffff;
  font-family: system-ui, sans-serif;
  font-size: var(--card-size, 12.5px);
  line-height: 1.3;
  font-variant-numeric: tabular-nums;
  overflow-wrap: anywhere;
}

.card h2,
.card h3,
.card p,
.card ol,
.card ul,
.card dl,
.card dd {
  margin: 0;
  padding: 0;
}

.card ol,
.card ul {
  padding-left: 1.5em;
}

.card h2 {
  font-size: 1.45em;
  line-height: 1.2;
}

.card h3 {
  margin: 0.7em 0 0.15em;
  border-bottom: 0.75px solid #555555;
  font-size: 1em;
}

.card-head {
  display: flex;
  justify-content: space-between;
  gap: 1em;
  border-bottom: 2px solid #1a1a1a;
  padding-bottom: 0.3em;
}

.card-number {
  flex: none;
  font-weight: 600;
  text-align: right;
}

.card .card-asks {
  margin-top: 0.5em;
}

.card-quiet {
  color: #555555;
}

.card-load {
  padding: 0.5em 0;
  font-size: 1.1em;
  font-weight: 600;
}

.card-drawings {
  display: grid;
  grid-template-columns: 1fr 1fr;
  gap: 3mm;
}

.card-drawings .fig {
  display: block;
  box-sizing: border-box;
  min-width: 0;
  width: 100%;
  height: auto;
  border: 0.75px solid #8c8c8c;
  font-family: inherit;
}

.card-columns {
  display: grid;
  grid-template-columns: minmax(0, 5fr) minmax(0, 6fr);
  gap: 0 5mm;
}

.card-list {
  display: grid;
  grid-template-columns: fit-content(40%) 1fr;
  gap: 0.1em 0.8em;
}

.card-list dt {
  color: #555555;
}

.card-verdict {
  display: flex;
  align-items: center;
  gap: 0.4em;
  font-weight: 600;
}

.card-verdict svg {
  flex: none;
}

.card-cautions {
  margin-top: 0.7em;
  border: 1.5px solid #1a1a1a;
  padding: 0.3em 0.6em;
}

.card-cautions strong {
  display: block;
}

.card table {
  width: 100%;
  border-collapse: collapse;
}

.card th,
.card td {
  border: 0.75px solid #555555;
  padding: 0.2em 0.4em;
  font-weight: 400;
  text-align: left;
  vertical-align: top;
  overflow-wrap: normal;
}

.card .card-names {
  overflow-wrap: anywhere;
}

.card thead th {
  color: #555555;
}

.card-write tbody th {
  width: 40%;
}

.card-write tbody tr {
  height: 2em;
}

.card-fields {
  display: grid;
  grid-template-columns: repeat(3, 1fr);
  margin-top: 0.5em;
  border: 0.75px solid #555555;
}

.card-fields span {
  min-height: 2.6em;
  border: 0.5px solid #8c8c8c;
  padding: 0.1em 0.4em;
  color: #555555;
  font-size: 0.85em;
}

.card-wide {
  grid-column: 1 / -1;
}

.card-box {
  display: inline-block;
  width: 0.8em;
  height: 0.8em;
  margin: 0 0.35em 0 0.9em;
  border: 1px solid #1a1a1a;
}

.card-foot {
  padding-top: 0.5em;
  color: #555555;
  font-size: 0.85em;
}

@media screen and (max-width: 700px) {
  .card {
    padding: 3mm;
    font-size: 14px;
  }

  .card-drawings,
  .card-columns,
  .card-fields {
    grid-template-columns: 1fr;
  }
}

@media print {
  .card {
    max-width: none;
    padding: 0;
  }

  .card-page {
    break-after: page;
  }

  .card-page:last-child {
    break-after: auto;
  }

  .card h3,
  .card-head {
    break-after: avoid;
  }

  .card tr,
  .card-cautions,
  .card-drawings {
    break-inside: avoid;
  }
}
`;
