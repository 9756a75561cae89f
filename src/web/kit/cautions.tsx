/** The standing cautions, on every screen. */

import './cautions.css';
import { CAUTIONS } from '../../analysis/index.js';

export function Cautions() {
  return (
    <footer className="cautions">
      <ul className="plain">
        {CAUTIONS.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </footer>
  );
}
