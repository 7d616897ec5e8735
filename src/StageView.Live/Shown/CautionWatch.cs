using System.Globalization;
using StageView.Light.Moments;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Show.Cautions;
using StageView.Stage;

namespace StageView.Live.Shown;

/// <summary>
/// Gathers reasons to look while a show is shown: every other second (less often where that takes long) what reaches people, with every picture what
/// flashes and moves. Begins anew with another rig or source, and when show time runs back; what was found before is kept. Never a verdict that
/// something is safe.
/// </summary>
internal sealed class CautionWatch(ShownStage shown, TimeProvider clock, NightJournal journal)
{
    private static readonly TimeSpan Lasts = TimeSpan.FromSeconds(2);

    // Of one core: what takes longer is done less often, so that listening and the page keep theirs.
    private const double Share = 0.1;
    private volatile Watched? _watched;
    private volatile CautionsState _state = CautionLines.Unknown;
    private readonly CautionsKept _kept = new(journal, clock);
    private byte[] _copyBuffer = [];
    private long _at;
    private long _tookTicks;
    private int _busy;

    /// <summary>What was found since the watch began.</summary>
    public CautionsState State => _state;

    /// <summary>The check takes a while with many beams; it runs beside everything else, one at a time.</summary>
    public void Look()
    {
        if ((_at != 0 && clock.GetElapsedTime(_at) < Pause(TimeSpan.FromTicks(Volatile.Read(ref _tookTicks)))) || Interlocked.Exchange(ref _busy, 1) == 1)
        {
            return;
        }

        _at = clock.GetTimestamp();
        Task.Run(() =>
        {
            try
            {
                _state = Gather();
            }
            catch (Exception e)
            {
                journal.Say("show", "the caution check failed: " + e.Message);
            }
            finally
            {
                Volatile.Write(ref _tookTicks, clock.GetElapsedTime(_at).Ticks);
                Volatile.Write(ref _busy, 0);
            }
        });
    }

    /// <summary>From the beginning of one look to that of the next, when the last took so long.</summary>
    internal static TimeSpan Pause(TimeSpan took) => took / Share > Lasts ? took / Share : Lasts;

    /// <summary>A picture's moment, for what flashes and moves; called while the stage is held.</summary>
    public void Follow(StageModel stage, Moment moment)
    {
        if (_watched is { } w && ReferenceEquals(w.Stage, stage))
        {
            w.Question.Follow(stage, moment);
        }
    }

    private CautionsState Gather()
    {
        var source = shown.Source();
        var (stage, at, copy, asIf) = shown.Read(now => (now.Model, now.At, Copy(now.Model.MomentAt(now.At, ShownFeed.Shutter)), now.AsIf.Count > 0));
        var w = _watched;
        if (w is null || !ReferenceEquals(w.Stage, stage) || at < w.Last || w.AsIf != asIf)
        {
            if (w is not null)
            {
                _kept.Ended(w.Of, w.Rows, w.When);
            }

            w = new Watched(stage, new CautionsQuestion(stage.Rig) { Cores = 1 }, at, clock.GetLocalNow(), source, asIf);
            _watched = w;
        }

        w.Question.Look(copy, at);
        shown.Read(now =>
        {
            if (ReferenceEquals(now.Model, stage))
            {
                w.Question.ReadStrobes(stage, now.At);
            }

            return 0;
        });
        w.Last = at;
        var found = CautionLines.Of(stage.Rig, w.Question.Answer(), since: w.Since, newest: at.TotalSeconds, canSeek: source.Source == "capture");
        w.Rows = found.Rows;
        _kept.Saw(w.Of, found.Rows);
        return found with { Earlier = _kept.Earlier(w.Of, found.Rows) };
    }

    /// <summary>A moment that outlives the stage's next ones.</summary>
    private Moment Copy(Moment moment)
    {
        var length = MomentBytes.Write(moment, ref _copyBuffer);
        return MomentBytes.Read(_copyBuffer.AsSpan(0, length), moment);
    }

    private sealed class Watched(StageModel stage, CautionsQuestion question, TimeSpan first, DateTimeOffset since, ShownSource source, bool asIf)
    {
        private readonly DateTimeOffset _zero = since - first;

        public StageModel Stage => stage;

        public CautionsQuestion Question => question;

        public TimeSpan Last { get; set; } = first;

        public DateTimeOffset Since { get; } = since;

        public bool AsIf => asIf;

        public string Of => (source.Source == "network" ? "the network" : source.Name) + (asIf ? ", as if" : "");

        public IReadOnlyList<CautionLine> Rows { get; set; } = [];

        /// <summary>When a row was found last: a time of the capture, else a time of day.</summary>
        public string When(CautionLine row) => source.Source == "capture" ? string.Create(CultureInfo.InvariantCulture, $"at {row.To:0.0} s")
            : _zero.AddSeconds(row.To).ToString("HH:mm:ss", CultureInfo.InvariantCulture);
    }
}
