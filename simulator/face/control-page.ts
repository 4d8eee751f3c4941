export interface ListedUpset {
  readonly name: string;
  readonly title: string;
  readonly about: string;
  readonly isPlaying: boolean;
}

/** The simulator's own page: what can go wrong, what is going wrong, and a button for each. Works without scripts. */
export function controlPage(upsets: readonly ListedUpset[]): string {
  const playing = upsets.filter((upset) => upset.isPlaying).map((upset) => upset.title);
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,">
<title>Quillmarsh Station simulator</title>
<style>${STYLE}</style>
</head>
<body>
<main>
<h1>Quillmarsh Station simulator</h1>
<p class="caution"><strong>This is a simulator.</strong> No machine moves. What it shows is for training and trials and
is no guide to setting, stopping or clearing a real machine: there, lock out and tag first, and follow the plant's own
rules.</p>
<p role="status">${playing.length === 0 ? 'The line is well.' : `Going on: ${playing.map(escaped).join(', ')}.`}</p>
<h2>Upsets</h2>
<ul>
${upsets.map(item).join('\n')}
</ul>
</main>
</body>
</html>
`;
}

function item(upset: ListedUpset): string {
  const action = upset.isPlaying ? 'end' : 'begin';
  const label = upset.isPlaying ? 'End' : 'Begin';
  return `<li${upset.isPlaying ? ' class="playing"' : ''}>
<div>
<h3>${escaped(upset.title)}${upset.isPlaying ? ' <em>(going on)</em>' : ''}</h3>
<p>${escaped(upset.about)}</p>
</div>
<form method="post" action="/upsets/${upset.name}/${action}">
<button>${label}<span class="hidden"> ${escaped(upset.title)}</span></button>
</form>
</li>`;
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
}

const STYLE = `
body { margin: 0; background: #eceae4; color: #21211e; font: 16px/1.5 sans-serif; }
main { max-width: 80rem; margin: 0 auto; padding: 1.5rem; }
.caution { border: 2px solid #21211e; padding: 0.75rem; background: #fff; }
ul { list-style: none; padding: 0; margin: 0; display: grid; gap: 0 2.5rem; }
ul { grid-template-columns: repeat(auto-fill, minmax(min(100%, 30rem), 1fr)); }
li { border-top: 1px solid #8a887f; padding: 0.6rem 0; display: flex; gap: 1rem; justify-content: space-between; }
li.playing { border-top: 4px solid #21211e; padding-top: 0.4rem; }
h1 { font-size: 1.5rem; } h2 { font-size: 1.15rem; } h3 { margin: 0; font-size: 1rem; }
p { margin: 0.15rem 0 0; color: #45443e; } .caution, [role='status'] { color: inherit; max-width: 60rem; margin: 0.75rem 0; }
button { font: inherit; min-height: 2.5rem; min-width: 6rem; border: 2px solid #21211e; background: #fff; color: inherit; }
button:focus-visible { outline: 3px solid #21211e; outline-offset: 2px; }
.hidden { position: absolute; clip-path: inset(50%); width: 1px; height: 1px; overflow: hidden; }
`;
