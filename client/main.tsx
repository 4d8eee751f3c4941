import '@fontsource/b612/latin-400.css';
import '@fontsource/b612/latin-700.css';
import './styles/tokens.css';
import './styles/page.css';
import './parts/table.css';
import { createRoot } from 'react-dom/client';
import { Page } from './page.tsx';

const root = document.getElementById('root');
if (root === null) throw new Error('index.html has no element with the id root');
createRoot(root).render(<Page />);
