# The same checks on Windows, in PowerShell, from the project's folder: a fresh virtual environment, the linters, the
# types, the layers, the README's test command. Needs Python 3.11 or later. It was written without a Windows at hand and
# has not been run: README.md, 'Where it was run'.
$ErrorActionPreference = "Stop"
$work = Join-Path ([IO.Path]::GetTempPath()) ([IO.Path]::GetRandomFileName())
$env:STEADFOOT_HOME = Join-Path $work "home"
$env:PYTHONUTF8 = "0" # As people have it: the program says UTF-8 itself wherever it reads or writes.
Remove-Item Env:PYTHONPATH -ErrorAction SilentlyContinue
function Invoke-Step([string] $name, [scriptblock] $step) {
    Write-Host "== $name"
    & $step
    if ($LASTEXITCODE -ne 0) { throw "$name ended with $LASTEXITCODE" }
}
try {
    Invoke-Step "environment" { py -m venv "$work\venv" }
    $python = "$work\venv\Scripts\python.exe"
    Invoke-Step "install" { & $python -m pip install -q -e ".[test,check]" }
    Invoke-Step "ruff" { & $python -m ruff check . }
    Invoke-Step "format" { & $python -m ruff format --check . }
    Invoke-Step "types" { & $python -m mypy }
    Invoke-Step "layers" { & "$work\venv\Scripts\lint-imports.exe" }
    Invoke-Step "tests" { & $python -m pytest }
    Invoke-Step "flows" { & "$work\venv\Scripts\steadfoot.exe" flow check }
    Write-Host "all is well"
}
finally {
    Remove-Item -Recurse -Force $work -ErrorAction SilentlyContinue
}
