using System.Globalization;
using StageView.Ground.Words;
using StageView.Live.Night;
using StageView.Live.RigFile;
using StageView.Live.Terms;
using StageView.Show.Refocus;
using StageView.Show.Sources;

namespace StageView.Live.Shown;

/// <summary>
/// The positions of the show in another venue: the answer of <c>refocus</c> over the same files, worked out beside the show, and again whenever one of them
/// is saved.
/// </summary>
internal sealed class RefocusTable
{
    private const int MostRows = 300;
    private readonly RefocusRequest? _request;
    private readonly NightJournal _journal;
    private readonly TimeProvider _clock;
    private readonly Action _wake;
    private readonly RefocusTicking _ticking;
    private readonly FileWatch _files = new();
    private readonly Lock _gate = new();
    private string _looks;
    private bool _working;
    private bool _again;
    private string? _stale;
    private string? _trouble;
    private int _version;
    private RefocusResult? _result;

    public RefocusTable(RefocusRequest? request, NightJournal journal, TimeProvider clock, Action wake)
    {
        (_request, _journal, _clock, _wake) = (request, journal, clock, wake);
        _ticking = new RefocusTicking(request is null ? "" : FocusFile.For(request.RigFile, request.Venue), journal, clock);
        _looks = LooksOf(request);
        if (request is not null)
        {
            _files.Follow(Named(request));
            Begin();
        }
    }

    /// <summary>For the page.</summary>
    public RefocusNow State
    {
        get
        {
            if (_request is not { } request)
            {
                return new RefocusNow("Start live with the show whose positions are to be refocused: --refocus SHOW.pcapng (or a folder of look files), "
                    + "with --venue TODAY.venue.jsonc; --from-venue YESTERDAY.venue.jsonc where it was last focused under a venue file.");
            }

            lock (_gate)
            {
                return _ticking.Tell(new RefocusNow(null)
                {
                    From = _result?.Answer.From ?? "", To = _result?.Answer.To ?? "", Show = Path.GetFileName(Path.TrimEndingDirectorySeparator(
                        request.Capture ?? request.Looks!)),
                    Working = _working, Stale = _stale, Trouble = _trouble, Version = _version,
                    Kept = _result?.Answer.Rows.Count(r => r.State == RefocusState.Kept) ?? 0,
                });
            }
        }
    }

    /// <summary>Positions from one on, the worst first.</summary>
    public Reply Rows(int from)
    {
        lock (_gate)
        {
            return _result is not { } result ? Reply.Refuse(_trouble ?? "it is being worked out")
                : Reply.Done("", new RefocusRows(_version, result.Answer.Rows.Count,
                    [.. result.Answer.Rows.Skip(from).Take(MostRows).Select((r, i) => RefocusLines.Of(r, from + i))], result.Answer.NotAsked));
        }
    }

    /// <summary>Ticks that changed since one state of them.</summary>
    public Reply Ticks(int since)
    {
        lock (_gate)
        {
            return Reply.Done("", _ticking.Since(_version, since));
        }
    }

    /// <summary>Ticks a position, or all of a fixture that somebody has to do something about; or takes ticks back.</summary>
    /// <param name="version">Of the answer that was looked at.</param>
    /// <param name="row">Place of the position in it; null for all of a fixture.</param>
    /// <param name="fixture">The fixture's name, where no position is named.</param>
    /// <param name="on">Whether it is focused.</param>
    /// <param name="by">Who says so; may be empty.</param>
    public Reply Tick(int version, int? row, string? fixture, bool on, string by)
    {
        Reply answer;
        lock (_gate)
        {
            answer = _result is not { } result || version != _version ? Reply.Refuse("the list was worked out anew meanwhile; look at the row once more")
                : _ticking.Set(result, row, fixture, on, OneLine.Of(by.Trim()));
        }

        _wake();
        return answer;
    }

    /// <summary>Looks whether a file was saved; called a few times a second.</summary>
    public void Follow()
    {
        if (_request is not { } request)
        {
            return;
        }

        lock (_gate)
        {
            var ticked = _result is { } known && _ticking.FollowFile(known);
            var saved = _files.Changed().Select(Path.GetFileName).ToList();
            if (LooksOf(request) is var looks && looks != _looks)
            {
                _looks = looks;
                _files.Follow(Watched(request, _result));
                saved.Add(Path.GetFileName(Path.TrimEndingDirectorySeparator(request.Looks!)));
            }

            if (saved.Count == 0 && ticked)
            {
                _wake();
            }

            if (saved.Count == 0)
            {
                return;
            }

            _stale = string.Create(CultureInfo.InvariantCulture, $"{string.Join(", ", saved.Distinct())} saved at {_clock.GetLocalNow():HH:mm:ss}");
            _again = _working;
        }

        Begin();
        _wake();
    }

    /// <summary>The rig was read well again: what failed for want of one of its files may be worked out now.</summary>
    public void RigRead()
    {
        lock (_gate)
        {
            if (_trouble is null)
            {
                return;
            }
        }

        Begin();
    }

    /// <summary>Works it out where that is not being done already.</summary>
    private void Begin()
    {
        lock (_gate)
        {
            if (_working)
            {
                return;
            }

            _working = true;
        }

        Task.Run(Work);
    }

    private void Work()
    {
        while (true)
        {
            var from = _clock.GetTimestamp();
            RefocusResult? result = null;
            string? trouble = null;
            try
            {
                result = _request!.Work();
            }
            catch (Exception e) when (e is not OutOfMemoryException)
            {
                trouble = e.Message;
            }

            lock (_gate)
            {
                if (trouble is not null && trouble != _trouble)
                {
                    _journal.Say("refocus", trouble.ReplaceLineEndings("; "));
                }

                _trouble = trouble;
                if (result is not null)
                {
                    (_result, _version) = (result, _version + 1);
                    _ticking.Match(result);
                    _files.Follow(Watched(_request!, result));
                    _stale = _again ? _stale : null;
                    _journal.Say("refocus", string.Create(CultureInfo.InvariantCulture,
                        $"{Counted.Of(result.Answer.Rows.Count, "position")} worked out in {_clock.GetElapsedTime(from).TotalSeconds:0.0} s"));
                }

                if (!_again)
                {
                    _working = false;
                    break;
                }

                _again = false;
            }
        }

        _wake();
    }

    private static IEnumerable<string> Named(RefocusRequest request) =>
        new[]
        {
            request.RigFile, request.Venue, request.FromVenue, request.Capture, request.Anchors, request.Capture is { } c ? CueTimes.FileFor(c) : null,
        }.OfType<string>().Concat(LookFiles(request));

    private static IEnumerable<string> Watched(RefocusRequest request, RefocusResult? result) =>
        result is null ? Named(request) : Named(request).Concat(result.Before.Files.Concat(result.After.Files).Select(f => f.FullPath));

    private static string LooksOf(RefocusRequest? request) => request is null ? "" : string.Join('\n', LookFiles(request));

    private static IEnumerable<string> LookFiles(RefocusRequest request) =>
        request.Looks is { } folder && Directory.Exists(folder) ? Directory.EnumerateFiles(folder, "*.look.jsonc").Order(StringComparer.Ordinal) : [];
}
