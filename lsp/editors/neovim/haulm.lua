-- Haulm in Neovim 0.7 and later. Copy this file to ~/.config/nvim/plugin/haulm.lua; nothing else is needed.

local command = { "haulm", "lsp" }

-- What to show inside the text (Neovim 0.10 and later).
local hints = {
  counts = true, -- what plantings, trays, the nursery and trellises come to
  feetLeft = true, -- how much of a row nothing is planted in
  dates = true, -- days that the plan does not say: of sowing, of harvest, of picking after a spraying
  flow = true, -- how much water a zone or row takes
  need = true, -- how much water plantings need in the week that needs most
  food = true, -- how much a feeding puts on, and from when
}

-- The folder of the plan that a file belongs to: that of the nearest farm.star, in its folder or above.
local function plan_folder(file)
  local found = vim.fn.findfile("farm.star", vim.fn.fnamemodify(file, ":p:h") .. ";")
  return found ~= "" and vim.fn.fnamemodify(found, ":p:h") or nil
end

-- The keys that Neovim 0.11 has by itself, for the versions before.
local function set_keys(buffer)
  local keys = {
    K = vim.lsp.buf.hover,
    gd = vim.lsp.buf.definition,
    gra = vim.lsp.buf.code_action,
    grn = vim.lsp.buf.rename,
    grr = vim.lsp.buf.references,
    gO = vim.lsp.buf.document_symbol,
    ["[d"] = vim.diagnostic.goto_prev,
    ["]d"] = vim.diagnostic.goto_next,
  }
  for key, action in pairs(keys) do
    vim.keymap.set("n", key, action, { buffer = buffer })
  end
  vim.keymap.set("i", "<C-s>", vim.lsp.buf.signature_help, { buffer = buffer })
  vim.bo[buffer].omnifunc = "v:lua.vim.lsp.omnifunc"
  vim.bo[buffer].formatexpr = "v:lua.vim.lsp.formatexpr()"
end

local function attached(client, buffer)
  if vim.fn.has("nvim-0.11") == 0 then
    set_keys(buffer)
  end
  vim.keymap.set("n", "gD", vim.lsp.buf.declaration, { buffer = buffer })
  if vim.fn.has("nvim-0.10") == 1 then
    vim.lsp.inlay_hint.enable(true, { bufnr = buffer })
  end
  vim.diagnostic.config({ virtual_text = true }, vim.lsp.diagnostic.get_namespace(client.id))
end

local running = {} -- clients by folder, for Neovim 0.7

local function start(buffer, folder)
  local config = {
    name = "haulm",
    cmd = command,
    root_dir = folder,
    workspace_folders = { { uri = vim.uri_from_fname(folder), name = vim.fn.fnamemodify(folder, ":t") } },
    settings = { haulm = { inlayHints = hints } },
    on_attach = attached,
  }
  if vim.lsp.start then
    vim.lsp.start(config, { bufnr = buffer })
    return
  end
  if not (running[folder] and vim.lsp.get_client_by_id(running[folder])) then
    running[folder] = vim.lsp.start_client(config)
  end
  if running[folder] then
    vim.lsp.buf_attach_client(buffer, running[folder])
  end
end

vim.api.nvim_create_autocmd({ "BufReadPost", "BufNewFile" }, {
  group = vim.api.nvim_create_augroup("haulm", {}),
  pattern = "*.star",
  callback = function(event)
    local file = vim.api.nvim_buf_get_name(event.buf)
    local folder = plan_folder(file)
    if not folder and vim.fn.fnamemodify(file, ":t") == "farm.star" then
      folder = vim.fn.fnamemodify(file, ":p:h") -- a plan that is yet to be written
    end
    if folder then
      vim.bo[event.buf].filetype = "haulm"
      vim.bo[event.buf].syntax = "python" -- as near as the colors of Neovim come; 0.9 takes the server's
      vim.bo[event.buf].commentstring = "# %s"
      start(event.buf, folder)
    end
  end,
})
