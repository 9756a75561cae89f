/** Photos: taken or chosen, kept at once, shown small. */

import { useEffect, useId, useState } from 'react';
import type { Attachment } from '../../../test-record/index.js';
import { useTestDayStore } from '../use-test-day.js';

/** What browsers show and the record takes. */
const IMAGES = 'image/jpeg,image/png,image/webp';

interface PhotoFieldProps {
  readonly label: string;
  readonly photos: readonly Attachment[];
  readonly onChange: (photos: readonly Attachment[]) => void;
  readonly problem?: string | null;
}

export function PhotoField({ label, photos, onChange, problem = null }: PhotoFieldProps) {
  const store = useTestDayStore();
  const id = useId();
  const [removed, setRemoved] = useState<Attachment | null>(null);
  const isBack = photos.some(({ hash }) => hash === removed?.hash);
  const take = async (files: readonly File[]): Promise<void> => {
    const kept: Attachment[] = [];
    for (const file of files) {
      const attachment = await store.getState().attach(file, file.name);
      if (attachment !== null) kept.push(attachment);
    }
    const isNew = ({ hash }: Attachment): boolean => !photos.some((each) => each.hash === hash);
    if (kept.some(isNew)) onChange([...photos, ...kept.filter(isNew)]);
  };
  return (
    <div className="form-field is-wide">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="file"
        accept={IMAGES}
        multiple
        onChange={(event) => {
          const files = [...(event.target.files ?? [])];
          event.target.value = '';
          void take(files);
        }}
      />
      {problem !== null && <span className="kit-problem">{problem}</span>}
      <Photos
        photos={photos}
        onRemove={(photo) => {
          setRemoved(photo);
          onChange(photos.filter(({ hash }) => hash !== photo.hash));
        }}
      />
      {removed !== null && !isBack && (
        <p className="form-removed" role="status">
          <span>Removed: {removed.name}</span>
          <button
            type="button"
            className="kit-button"
            onClick={() => onChange([...photos, removed])}
          >
            Put it back
          </button>
        </p>
      )}
    </div>
  );
}

interface PhotosProps {
  readonly photos: readonly Attachment[];
  /** none: they stay */
  readonly onRemove?: (photo: Attachment) => void;
}

export function Photos({ photos, onRemove }: PhotosProps) {
  if (photos.length === 0) return null;
  return (
    <ul className="plain form-photos">
      {photos.map((photo) => (
        <li key={photo.hash} className="form-photo">
          <Photo photo={photo} />
          <span title={photo.name}>{photo.name}</span>
          {onRemove !== undefined && (
            <button
              type="button"
              className="kit-button is-quiet"
              aria-label={`Remove ${photo.name}`}
              onClick={() => onRemove(photo)}
            >
              Remove
            </button>
          )}
        </li>
      ))}
    </ul>
  );
}

function Photo({ photo }: { readonly photo: Attachment }) {
  const store = useTestDayStore();
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    let isShown = true;
    void store
      .getState()
      .fileUrl(photo)
      .then((found) => {
        if (isShown) setUrl(found);
      });
    return () => {
      isShown = false;
    };
  }, [store, photo]);
  if (url === null) return <span className="kit-soft">not to be had now</span>;
  return (
    <a href={url} target="_blank" rel="noreferrer">
      <img src={url} alt={photo.name} loading="lazy" />
    </a>
  );
}
