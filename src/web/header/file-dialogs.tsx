/** What has to be answered about files: unsaved work found, a file changed on disk, a name to save by. */

import './file-dialogs.css';
import { useEffect, useId, useState } from 'react';
import { Dialog } from '../kit/dialog.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { cartNameOf, cartNameProblem } from '../store/cart-name.js';
import type { Conflict, Recovery } from '../store/state.js';
import { isUnsaved } from '../store/unsaved.js';
import { DifferenceView } from './difference-view.js';
import { HelpDialog } from './help-dialog.js';
import { momentWords } from './moment-words.js';
import { NameForm } from './name-form.js';

export function FileDialogs() {
  const recovery = useWorkbench((s) => s.recovery);
  const conflict = useWorkbench((s) => s.conflict);
  const asking = useWorkbench((s) => s.asking);
  useKeptWork();
  if (recovery !== null) return <RecoveryDialog recovery={recovery} />;
  if (conflict !== null) return <ConflictDialog conflict={conflict} />;
  if (asking === 'save as') return <SaveAsDialog />;
  if (asking === 'keep variant') return <KeepVariantDialog />;
  if (asking === 'close') return <CloseDialog />;
  return <HelpDialog open={asking === 'help'} />;
}

/** The draft is brought up to date when the page is put away; only what could not be kept holds it. */
function useKeptWork(): void {
  const store = useWorkbenchStore();
  useEffect(() => {
    const hidden = (): void => {
      if (document.visibilityState === 'hidden') void store.getState().keepWork();
    };
    const leaving = (event: BeforeUnloadEvent): void => {
      const state = store.getState();
      if (state.atRisk && isUnsaved(state)) event.preventDefault();
    };
    document.addEventListener('visibilitychange', hidden);
    addEventListener('beforeunload', leaving);
    return () => {
      document.removeEventListener('visibilitychange', hidden);
      removeEventListener('beforeunload', leaving);
    };
  }, [store]);
}

function RecoveryDialog({ recovery }: { readonly recovery: Recovery }) {
  const store = useWorkbenchStore();
  const text = useWorkbench((s) => s.text);
  const { name, draft, fileChanged } = recovery;
  const later = (): void => store.getState().close();
  return (
    <Dialog title="Unsaved work found" open onClose={later} wide>
      <p>
        {name} has unsaved work, kept {momentWords(draft.saved, new Date().toISOString())}.
      </p>
      {fileChanged && (
        <p className="file-dialogs-warning">
          <strong>The file has changed since.</strong> Saving the unsaved work will ask which of the
          two to keep.
        </p>
      )}
      {draft.text === text ? (
        <p>The cart file is the same; the parts list beside it differs.</p>
      ) : (
        <DifferenceView
          oneName="the file"
          one={text}
          otherName="the unsaved work"
          other={draft.text}
        />
      )}
      <div className="file-dialogs-answers">
        <button
          type="button"
          className="kit-button is-main"
          onClick={() => void store.getState().takeDraft()}
        >
          Take the unsaved work
        </button>
        <button
          type="button"
          className="kit-button"
          onClick={() => void store.getState().dropDraft()}
        >
          Discard it and open the file
        </button>
        <button type="button" className="kit-button" onClick={later}>
          Decide later
        </button>
      </div>
    </Dialog>
  );
}

function ConflictDialog({ conflict }: { readonly conflict: Conflict }) {
  const store = useWorkbenchStore();
  const text = useWorkbench((s) => s.text);
  const name = useWorkbench((s) => s.file?.name ?? '');
  const answer = (which: 'mine' | 'theirs' | 'later') => () => {
    void store.getState().settle(which);
  };
  const isGone = conflict.version === null;
  return (
    <Dialog
      title={isGone ? `${name} is gone` : `${name} was changed by another program`}
      open
      onClose={answer('later')}
      wide
    >
      <p>{conflictWords(conflict)} Nothing is written until you choose.</p>
      {conflict.text !== null && (
        <DifferenceView
          oneName="your sheet"
          one={text}
          otherName="the file on disk"
          other={conflict.text}
        />
      )}
      <div className="file-dialogs-answers">
        <button type="button" className="kit-button" onClick={answer('mine')}>
          {isGone ? 'Save it again' : 'Keep mine: write over the file'}
        </button>
        {conflict.text !== null && (
          <button type="button" className="kit-button" onClick={answer('theirs')}>
            Take theirs (undo brings yours back)
          </button>
        )}
        <button type="button" className="kit-button" onClick={answer('later')}>
          Decide later
        </button>
      </div>
    </Dialog>
  );
}

function conflictWords({ text, version }: Conflict): string {
  if (version === null) return 'The file was deleted or renamed since it was opened.';
  return text === null
    ? 'The file on disk was changed since it was opened, and is no text that can be read.'
    : 'The file on disk is not the one that this sheet was made from.';
}

function SaveAsDialog() {
  const store = useWorkbenchStore();
  const name = useWorkbench((s) => s.file?.name ?? '');
  const folder = useWorkbench((s) => s.folder);
  const saving = useWorkbench((s) => s.saving);
  const isNew = useWorkbench((s) => s.file?.version === null);
  const taken = (folder?.carts ?? [])
    .map((each) => each.name)
    .filter((each) => isNew || each !== name);
  const close = (): void => store.getState().ask(null);
  const save = async (typed: string): Promise<void> => {
    if (await store.getState().saveAs(cartNameOf(typed))) close();
  };
  return (
    <Dialog title="Save as" open onClose={close}>
      <NameForm
        label={`Name of the file in ${folder?.folder ?? 'the folder'}`}
        start={name}
        answer={saving ? 'Saving...' : 'Save'}
        hint={(typed) => `Saved as ${cartNameOf(typed)}`}
        problemOf={(typed) => cartNameProblem(cartNameOf(typed), taken)}
        onAnswer={(typed) => void save(typed)}
        onCancel={close}
      />
    </Dialog>
  );
}

const LONGEST_VARIANT = 80;

function KeepVariantDialog() {
  const store = useWorkbenchStore();
  const cart = useWorkbench((s) => s.cart?.name ?? 'cart');
  const kept = useWorkbench((s) => s.variants);
  const close = (): void => store.getState().ask(null);
  const problemOf = (typed: string): string | null => {
    const name = typed.trim();
    if (name === '') return 'A name is needed.';
    if (name.length > LONGEST_VARIANT) return `At most ${LONGEST_VARIANT} characters.`;
    const isTaken = kept.some((each) => each.name === name);
    return isTaken ? 'A variant has this name already.' : null;
  };
  return (
    <Dialog title="Keep as a variant" open onClose={close}>
      <p>The cart as it is now is kept to be compared with others, until the page is closed.</p>
      <NameForm
        label="Name of the variant"
        start={`${cart}, ${kept.length + 1}`.slice(0, LONGEST_VARIANT)}
        answer="Keep"
        hint={() => ''}
        problemOf={problemOf}
        onAnswer={(typed) => {
          store.getState().keepVariant(typed.trim());
          store.getState().say(`Kept ${typed.trim()}. Compare shows it.`);
          close();
        }}
        onCancel={close}
      />
    </Dialog>
  );
}

/** Asked only when the work could be kept nowhere. */
function CloseDialog() {
  const store = useWorkbenchStore();
  const id = useId();
  const [sure, setSure] = useState(false);
  const back = (): void => store.getState().ask(null);
  return (
    <Dialog title="Close without saving?" open onClose={back}>
      <p>Neither the browser nor the program could keep your unsaved changes. They will be lost.</p>
      <p>
        <input
          id={id}
          type="checkbox"
          checked={sure}
          onChange={(event) => setSure(event.target.checked)}
        />{' '}
        <label htmlFor={id}>I do not need them</label>
      </p>
      <div className="file-dialogs-answers">
        <button
          type="button"
          className="kit-button"
          disabled={!sure}
          onClick={() => store.getState().close()}
        >
          Close
        </button>
        <button type="button" className="kit-button is-main" onClick={back}>
          Go on working
        </button>
      </div>
    </Dialog>
  );
}
