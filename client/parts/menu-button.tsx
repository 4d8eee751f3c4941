import { Composite, CompositeItem, CompositeProvider } from '@ariakit/react';
import {
  createContext,
  useContext,
  useEffect,
  useId,
  useRef,
  useState,
  type KeyboardEvent,
  type ReactNode,
} from 'react';
import './menu-button.css';

interface MenuButtonProps {
  readonly label: string;
  readonly children: ReactNode;
}

const CloseMenuContext = createContext<() => void>(() => undefined);
const GAP_PX = 4;
const EDGE_PX = 8;

/**
 * A button that opens a list of things to do. The browser's own popover brings Escape, a press beside it and the focus
 * back to the button; the library brings the keys within the list.
 */
export function MenuButton({ label, children }: MenuButtonProps) {
  const id = useId();
  const opener = useRef<HTMLButtonElement>(null);
  const menu = useRef<HTMLDivElement>(null);
  const [isOpen, setOpen] = useState(false);
  useEffect(() => {
    if (!isOpen || menu.current === null) return;
    menu.current.querySelector<HTMLElement>('[role=menuitem]:not([aria-disabled=true])')?.focus();
  }, [isOpen]);
  const openByKey = (event: KeyboardEvent) => {
    if (event.key !== 'ArrowDown') return;
    event.preventDefault();
    menu.current?.showPopover();
  };
  return (
    <>
      <button
        ref={opener}
        type="button"
        className="button menu-opener"
        popoverTarget={id}
        aria-haspopup="menu"
        aria-expanded={isOpen}
        onKeyDown={openByKey}
      >
        {label}
        <svg width="10" height="6" viewBox="0 0 10 6" aria-hidden="true">
          <path d="M1 1l4 4 4-4" />
        </svg>
      </button>
      <div
        ref={menu}
        id={id}
        popover="auto"
        className="menu"
        onToggle={(event) => {
          const isShown = event.newState === 'open';
          setOpen(isShown);
          if (isShown) placeBelow(event.currentTarget, opener.current);
        }}
      >
        {isOpen && (
          <CloseMenuContext value={() => menu.current?.hidePopover()}>
            <MenuList label={label}>{children}</MenuList>
          </CloseMenuContext>
        )}
      </div>
    </>
  );
}

function MenuList({ label, children }: MenuButtonProps) {
  return (
    <CompositeProvider orientation="vertical" focusLoop>
      <Composite role="menu" aria-label={label} className="menu-list">
        {children}
      </Composite>
    </CompositeProvider>
  );
}

/** Below its button, and never beyond the edge of the screen. */
function placeBelow(menu: HTMLElement, opener: HTMLElement | null): void {
  const box = opener?.getBoundingClientRect();
  if (box === undefined) return;
  const left = Math.min(box.left, window.innerWidth - menu.offsetWidth - EDGE_PX);
  menu.style.left = `${Math.max(EDGE_PX, left)}px`;
  menu.style.top = `${box.bottom + GAP_PX}px`;
}

interface MenuItemProps {
  readonly onChoose: () => void;
  readonly children: ReactNode;
  readonly isDisabled?: boolean;
  readonly isChosen?: boolean;
}

export function MenuItem({ onChoose, children, isDisabled = false, isChosen = false }: MenuItemProps) {
  const close = useContext(CloseMenuContext);
  return (
    <CompositeItem
      role="menuitem"
      className="menu-item"
      disabled={isDisabled}
      accessibleWhenDisabled
      data-chosen={isChosen || undefined}
      onClick={() => {
        // Closed first: what is opened by the choice gets the focus, not the button.
        close();
        onChoose();
      }}
    >
      {children}
    </CompositeItem>
  );
}

export function MenuRule() {
  return <div role="separator" className="menu-rule" />;
}
