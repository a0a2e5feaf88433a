;;; haulm.el --- Season plans of a farm, checked while you type  -*- lexical-binding: t; -*-

;; Package-Requires: ((emacs "26.3") (eglot "1.9"))

;;; Commentary:

;; A mode for the files of a plan, in the colors and indentation of Python, whose facts and findings come from `haulm
;; lsp' through eglot.  Put (load "/path/to/haulm.el") into the init file; nothing else is needed.

;;; Code:

(require 'eglot)
(require 'project)
(require 'python)

(defgroup haulm nil
  "Season plans of a farm."
  :group 'languages)

(defcustom haulm-command '("haulm" "lsp")
  "The program and its arguments that serve the editor."
  :type '(repeat string))

(defcustom haulm-inlay-hints '(:counts t :feetLeft t :dates t :flow t :need t :food t)
  "What to show inside the text, each t or :json-false (Emacs 29 and later).
  :counts    what plantings, trays, the nursery and trellises come to
  :feetLeft  how much of a row nothing is planted in
  :dates     days that the plan does not say: of sowing, of harvest, of picking after a spraying
  :flow      how much water a zone or row takes
  :need      how much water plantings need in the week that needs most
  :food      how much a feeding puts on, and from when."
  :type 'plist)

(defun haulm-folder (file)
  "The folder of the plan that FILE belongs to, or nil.
It is that of the nearest farm.star, in the file's folder or above."
  (and file (locate-dominating-file (file-name-directory (expand-file-name file)) "farm.star")))

(define-derived-mode haulm-mode python-mode "Haulm"
  "Mode for the files of a plan."
  (setq-local indent-tabs-mode nil)
  (setq-local eglot-workspace-configuration `((:haulm . (:inlayHints ,haulm-inlay-hints))))
  (eglot-ensure))

(defun haulm-or-python-mode ()
  "`haulm-mode' for a file that belongs to a plan, else `python-mode'."
  (if (or (haulm-folder buffer-file-name)
          (and buffer-file-name (equal (file-name-nondirectory buffer-file-name) "farm.star")))
      (haulm-mode)
    (python-mode)))

(defun haulm-project (folder)
  "The plan that FOLDER lies in, as a project."
  (let ((root (locate-dominating-file folder "farm.star")))
    (and root (cons 'haulm root))))

(cl-defmethod project-root ((project (head haulm)))
  "The folder of the plan PROJECT."
  (cdr project))

(add-to-list 'auto-mode-alist '("\\.star\\'" . haulm-or-python-mode))
(add-hook 'project-find-functions #'haulm-project)
(add-to-list 'eglot-server-programs `(haulm-mode . ,(lambda (&rest _) haulm-command)))

(provide 'haulm)
;;; haulm.el ends here
