using StageView.Live.Night;
using StageView.Live.RigFile;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Show.Cues;
using StageView.Stage.Cues;
using StageView.Wire.Capture;

namespace StageView.Live.Shown;

/// <summary>
/// Cue files that are shown: each is played into a capture beside everything else, and that is opened. A save of the cue file or the rig plays it anew;
/// time and pace stay.
/// </summary>
/// <param name="changed">Called when something else may be seen now.</param>
internal sealed class CuePlays(ShownStage shown, NightJournal journal, Action changed) : IDisposable
{
    /// <summary>One at a time, and never more than the newest wish.</summary>
    private readonly Lock _gate = new();
    private readonly List<ScratchFolder> _folders = [];
    private CancellationTokenSource? _stop;
    private CuesShown? _now;
    private volatile MakingState? _making;

    /// <summary>What is being played into levels, or null.</summary>
    public MakingState? Making => _making;

    /// <summary>Plays a cue file and shows it.</summary>
    /// <param name="name">Its file name.</param>
    /// <param name="file">Full path.</param>
    public Reply Open(string name, string file)
    {
        // Watched from before it is read, so that no save falls between.
        var watch = new FileWatch();
        watch.Follow([file]);
        var told = new List<string>();
        CuePlayer player;
        var rig = shown.Rig;
        try
        {
            player = CueCapture.Open(rig, file, told.Add);
        }
        catch (StopException e)
        {
            journal.Say("show", $"{name} is not shown: {OneLine.Of(e.Message)}");
            return Reply.Refuse(e.Message);
        }

        Begin(new CuesShown(name, file, rig, watch), player, null);
        return Reply.Done($"{name} is played into levels and opens when it is through{(told.Count > 0 ? "; " + told[0] : "")}");
    }

    /// <summary>Plays what is shown anew after a save of it or of the rig.</summary>
    public void Follow()
    {
        CuesShown now;
        CaptureDeck deck;
        lock (_gate)
        {
            if (_now is not { } open || _stop is not null)
            {
                return;
            }

            if (shown.Capture is not { } capture || capture.Path != open.Path)
            {
                Forget();
                return;
            }

            var rig = shown.Rig;
            if (open.Watch.Changed().Count == 0 && ReferenceEquals(rig, open.Rig))
            {
                return;
            }

            (now, deck) = (open with { Rig = rig }, capture);
            _now = now;
        }

        try
        {
            Begin(now, CueCapture.Open(now.Rig, now.File), deck);
        }
        catch (StopException e)
        {
            journal.Say("show", $"{now.Name} was saved and can't be used: {OneLine.Of(e.Message)} (the last good one stays)");
        }
    }

    public void Dispose()
    {
        lock (_gate)
        {
            _stop?.Cancel();
            Forget();
        }
    }

    private void Begin(CuesShown cues, CuePlayer player, CaptureDeck? instead)
    {
        lock (_gate)
        {
            _stop?.Cancel();
            var stop = _stop = new CancellationTokenSource();
            _making = new MakingState(cues.Name, 0);
            Task.Run(() => Play(cues, player, instead, stop), CancellationToken.None);
        }
    }

    private void Play(CuesShown cues, CuePlayer player, CaptureDeck? instead, CancellationTokenSource stop)
    {
        ScratchFolder? folder = null;
        try
        {
            folder = new ScratchFolder();
            var capture = folder.File("show.pcapng");

            // As it was played: names of times go with the levels.
            File.Copy(cues.File, folder.File("show.cues.jsonc"));
            using (var stream = File.Create(capture))
            {
                CueCapture.Write(player, stream, at =>
                {
                    stop.Token.ThrowIfCancellationRequested();
                    _making = new MakingState(cues.Name, player.Length.Ticks == 0 ? 1 : (double)at.Ticks / player.Length.Ticks);
                });
            }

            var file = new ShownFile(cues.Name, capture, player.Sound);
            lock (_gate)
            {
                stop.Token.ThrowIfCancellationRequested();
                if (instead is null)
                {
                    shown.Show(file);
                }
                else if (!shown.Replace(instead, file))
                {
                    return;
                }

                Forget();
                _folders.Add(folder);
                folder = null;
                _now = cues with { Path = capture };
            }

            journal.Say("show", instead is null ? $"showing {cues.Name}" : $"{cues.Name} or the rig was saved, and is played anew");
        }
        catch (OperationCanceledException)
        {
            // Something newer is wanted.
        }
        catch (Exception e) when (e is CaptureException or StopException or IOException or UnauthorizedAccessException)
        {
            journal.Say("show", $"{cues.Name} can't be shown: {e.Message}");
        }
        finally
        {
            folder?.Dispose();
            lock (_gate)
            {
                if (ReferenceEquals(_stop, stop))
                {
                    (_stop, _making) = (null, null);
                }
            }

            changed();
        }
    }

    /// <summary>What was shown is shown no more.</summary>
    private void Forget()
    {
        _now = null;
        _folders.ForEach(f => f.Dispose());
        _folders.Clear();
    }

    /// <param name="Name">The cue file's name.</param>
    /// <param name="File">Full path.</param>
    /// <param name="Rig">What it was played for.</param>
    /// <param name="Watch">Its saves.</param>
    private sealed record CuesShown(string Name, string File, RigScene Rig, FileWatch Watch)
    {
        /// <summary>The capture that it was played into.</summary>
        public string Path { get; init; } = "";
    }
}
