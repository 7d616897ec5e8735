namespace StageView.Wire.Clock;

/// <summary>
/// Follows timecode: labels come with their times, and questions go both ways. Between labels and for the freewheel time after
/// the last it runs on by itself; jumps, dropouts and stops are kept as events. A label that is sent again and again stands.
/// One that lies a little behind is held until those after it say whether it was overtaken on its way or the source went back.
/// Labels that fall frame by frame, as of tape that runs backwards, are in step, too.
/// </summary>
public sealed class TimecodeTrack(TimeSpan freewheel)
{
    private const int MostEvents = 10_000;

    // Running timecode may say a label twice, and late: so many repeats, over more frames than jitter explains, are none of that.
    private const int RepeatsOfStanding = 2;
    private const int FramesOfJitter = 2;

    // A datagram is overtaken by one or two; with a third label behind the latest, or none after them for so long, the source went back.
    private const int MostOvertaken = 2;
    private static readonly TimeSpan s_overtakenWithin = TimeSpan.FromSeconds(.25);

    // Runs of labels that follow each other in step: first label, and last. One that begins and ends with the same label, later, stood.
    private readonly List<(TimecodeAt First, TimecodeAt Last)> _runs = [];
    private readonly List<TimecodeEvent> _events = [];
    private readonly List<TimecodeAt> _behind = [];
    private int _repeats;
    private bool _stopped;
    private bool _turns;
    private int _way = 1;

    public TimecodeTrack()
        : this(TimeSpan.FromSeconds(1))
    {
    }

    internal TimecodeTrack(IEnumerable<(TimecodeAt First, TimecodeAt Last)> runs, long labels)
        : this()
    {
        _runs.AddRange(runs);
        Labels = labels;
    }

    /// <summary>Runs of labels that follow each other in step.</summary>
    internal IReadOnlyList<(TimecodeAt First, TimecodeAt Last)> Runs => _runs;

    /// <summary>How long it runs on without labels.</summary>
    public TimeSpan Freewheel { get; } = freewheel;

    public IReadOnlyList<TimecodeEvent> Events => _events;

    /// <summary>Labels taken.</summary>
    public long Labels { get; private set; }

    /// <summary>The latest label.</summary>
    public TimecodeAt? Latest => _runs.Count == 0 ? null : _runs[^1].Last;

    /// <summary>Takes a label. Times must not decrease.</summary>
    public void Add(TimecodeAt label)
    {
        Labels++;
        if (!IsHeld(label))
        {
            Take(label);
        }
    }

    /// <summary>Whether a label is not to be followed before those after it are known.</summary>
    private bool IsHeld(TimecodeAt label)
    {
        if (Latest is not { } last || _stopped || (Falls(_runs[^1]) && IsInStep(last, label, -1)))
        {
            return false;
        }

        var frames = last.Timecode.FramesTo(label.Timecode);
        if (label.Timecode.Rate == last.Timecode.Rate && frames < 0 && frames >= -Timecode.Count(last.Timecode.Rate) && label.At - last.At <= Freewheel)
        {
            _behind.Add(label);
            if (_behind.Count > MostOvertaken)
            {
                GoBack();
            }

            return true;
        }

        if (!IsInStep(last, label, 1))
        {
            GoBack();
        }

        _behind.Clear();
        return false;
    }

    /// <summary>What is held was not overtaken: the source went back.</summary>
    private void GoBack()
    {
        // Labels that fall one after the other turned round; those that rise again jumped.
        _turns = _behind.Count > 1 && _behind.Prepend(Latest!.Value).Zip(_behind).All(p => p.First.Timecode.FramesTo(p.Second.Timecode) < 0);
        foreach (var label in _behind)
        {
            Take(label);
        }

        _behind.Clear();
        _turns = false;
    }

    private void Take(TimecodeAt label)
    {
        if (_runs.Count == 0)
        {
            _runs.Add((label, label));
            Note(new TimecodeEvent(TimecodeEventKind.Started, label.At, null, label.Timecode));
            return;
        }

        var (first, last) = _runs[^1];
        var rate = label.Timecode.Rate;
        var passed = label.At - last.At;
        var frame = Timecode.FrameSeconds(rate);
        var frames = last.Timecode.FramesTo(label.Timecode);
        if (label.Timecode == last.Timecode)
        {
            _repeats++;
            if (Stood(_runs[^1]))
            {
                _runs[^1] = (first, label);
            }
            else if (passed > Freewheel || (_repeats >= RepeatsOfStanding && passed.TotalSeconds > FramesOfJitter * frame))
            {
                Stop(passed > Freewheel ? last.At + Freewheel : last.At);
                _runs.Add((last, label));
            }

            return;
        }

        _repeats = 0;
        if (_stopped || passed > Freewheel)
        {
            Stop(last.At + Freewheel);
            (_stopped, _way) = (false, 1);
            _runs.Add((label, label));
            Note(new TimecodeEvent(TimecodeEventKind.Started, label.At, null, label.Timecode));
            return;
        }

        var way = _turns || Falls(_runs[^1]) ? Math.Sign(frames) : 1;
        if (!IsInStep(last, label, way))
        {
            Note(new TimecodeEvent(TimecodeEventKind.Jumped, label.At, Next(last, label.At, Way(_runs[^1])), label.Timecode));
            _runs.Add((label, label));
            return;
        }

        if (way != Way(_runs[^1]) && first.Timecode != last.Timecode)
        {
            first = last;
            _runs.Add((last, label));
        }

        if (way != _way)
        {
            _way = way;
            Note(new TimecodeEvent(TimecodeEventKind.Turned, label.At, last.Timecode, label.Timecode));
        }

        if (Math.Abs(frames) > 3)
        {
            Note(new TimecodeEvent(TimecodeEventKind.Dropout, label.At, last.Timecode, label.Timecode, passed));
        }

        _runs[^1] = (first, label);
    }

    /// <summary>Says that time has passed without a label.</summary>
    public void Advance(TimeSpan now)
    {
        if (_behind.Count > 0 && now - _behind[0].At > s_overtakenWithin)
        {
            GoBack();
        }

        if (Latest is { } last && now - last.At > Freewheel)
        {
            Stop(last.At + Freewheel);
        }
    }

    /// <summary>
    /// The label at a time: heard, or run on from the one before for at most the freewheel time; one that stood while it was
    /// sent on is itself all that time. Null when none was heard for longer.
    /// </summary>
    public Timecode? LabelAt(TimeSpan time)
    {
        for (var i = _runs.Count - 1; i >= 0; i--)
        {
            var (first, last) = _runs[i];
            if (time < first.At)
            {
                continue;
            }

            if (time > last.At + Freewheel)
            {
                return null;
            }

            return Stood(_runs[i]) ? last.Timecode : Next(time >= last.At ? last : first, time, Way(_runs[i]));
        }

        return null;
    }

    /// <summary>The same, and from where it stopped on the label that was heard last; null before the first.</summary>
    public Timecode? HeldAt(TimeSpan time) =>
        LabelAt(time) ?? (_runs.FindLastIndex(r => r.First.At <= time) is >= 0 and var i ? _runs[i].Last.Timecode : null);

    /// <summary>Whether it goes on counting at a time: heard, or within the freewheel time, and not the same label again and again.</summary>
    public bool RunsAt(TimeSpan time)
    {
        var i = _runs.FindLastIndex(r => time >= r.First.At);
        return i >= 0 && time <= _runs[i].Last.At + Freewheel && !Stood(_runs[i]);
    }

    /// <summary>Whether it counts down at a time.</summary>
    public bool RunsBackwardsAt(TimeSpan time)
    {
        var i = _runs.FindLastIndex(r => time >= r.First.At);
        return i >= 0 && time <= _runs[i].Last.At + Freewheel && Falls(_runs[i]);
    }

    /// <summary>How fast the latest run was counted, as a share of its rate, and over how long; null before it is a second long, or over half a day.</summary>
    public (double Speed, TimeSpan Over)? Pace
    {
        get
        {
            if (_runs.Count == 0)
            {
                return null;
            }

            var (first, last) = _runs[^1];
            var over = last.At - first.At;
            return over < TimeSpan.FromSeconds(1) || over > TimeSpan.FromHours(12) || Stood(_runs[^1]) ? null
                : (Math.Abs(first.Timecode.FramesTo(last.Timecode)) * Timecode.FrameSeconds(first.Timecode.Rate) / over.TotalSeconds, over);
        }
    }

    /// <summary>When a label is heard first: hours to frames as given, counted at the track's rate. False when it never is.</summary>
    public bool TryFind(string label, out TimeSpan at) => TryFind(label, out at, out _);

    /// <summary>The same, and how long the frame of that label lasts there.</summary>
    public bool TryFind(string label, out TimeSpan at, out TimeSpan lasts)
    {
        foreach (var run in _runs)
        {
            var (first, last) = run;
            if (!Timecode.TryParse(label, first.Timecode.Rate, out var wanted))
            {
                continue;
            }

            // A run that passes midnight counts on.
            var falls = Falls(run);
            var on = falls ? FramesForward(wanted, first.Timecode) : FramesForward(first.Timecode, wanted);
            var span = falls ? FramesForward(last.Timecode, first.Timecode) : FramesForward(first.Timecode, last.Timecode);
            if (on <= span)
            {
                // Scaled between the ends, so that timecode at another speed than its own is still found.
                at = span == 0 ? first.At : first.At + ((last.At - first.At) * ((double)on / span));
                lasts = span == 0 ? TimeSpan.FromSeconds(Timecode.FrameSeconds(first.Timecode.Rate)) : (last.At - first.At) / span;
                return true;
            }
        }

        at = lasts = default;
        return false;
    }

    /// <summary>What is covered, for messages: <c>01:00:00:00 to 01:03:10:12</c>, at most a few.</summary>
    public string Covered()
    {
        // Where it stood after running, the label is covered by the run.
        var runs = _runs.Where((r, i) => i == 0 || !Stood(r)).ToList();
        return runs.Count == 0
            ? "none"
            : string.Join(", ", runs.Take(4).Select(r => $"{r.First.Timecode} to {r.Last.Timecode}")) + (runs.Count > 4 ? $" and {runs.Count - 4} more" : "");
    }

    /// <summary>As many labels on as frames have passed, give or take two for packets that arrive late, and never the other way.</summary>
    /// <param name="way">1 forwards, -1 backwards.</param>
    private static bool IsInStep(TimecodeAt last, TimecodeAt label, int way)
    {
        var frames = last.Timecode.FramesTo(label.Timecode) * way;
        var passed = (label.At - last.At).TotalSeconds / Timecode.FrameSeconds(label.Timecode.Rate);
        return label.Timecode.Rate == last.Timecode.Rate && frames >= 0 && Math.Abs(frames - passed) <= FramesOfJitter;
    }

    private static int FramesForward(Timecode from, Timecode to)
    {
        var day = Timecode.DayFrames(from.Rate);
        return (((to.FrameNumber - from.FrameNumber) % day) + day) % day;
    }

    private static bool Stood((TimecodeAt First, TimecodeAt Last) run) => run.First.Timecode == run.Last.Timecode && run.Last.At > run.First.At;

    /// <summary>Whether a run counts down: rather than up for the rest of a day.</summary>
    private static bool Falls((TimecodeAt First, TimecodeAt Last) run)
    {
        var up = FramesForward(run.First.Timecode, run.Last.Timecode);
        var passed = (run.Last.At - run.First.At).TotalSeconds / Timecode.FrameSeconds(run.First.Timecode.Rate);
        return up != 0 && Math.Abs(Timecode.DayFrames(run.First.Timecode.Rate) - up - passed) < Math.Abs(up - passed);
    }

    private static int Way((TimecodeAt First, TimecodeAt Last) run) => Falls(run) ? -1 : 1;

    private static Timecode Next(TimecodeAt from, TimeSpan time, int way)
    {
        var rate = from.Timecode.Rate;
        var frames = (int)Math.Floor(((time - from.At).TotalSeconds / Timecode.FrameSeconds(rate)) + 1e-6);
        return Timecode.FromFrameNumber(from.Timecode.FrameNumber + (way * frames), rate);
    }

    /// <summary>Told once for every time that it ran.</summary>
    private void Stop(TimeSpan at)
    {
        if (!_stopped)
        {
            _stopped = true;
            Note(new TimecodeEvent(TimecodeEventKind.Stopped, at, _runs[^1].Last.Timecode, null));
        }
    }

    private void Note(TimecodeEvent what)
    {
        if (_events.Count < MostEvents)
        {
            _events.Add(what);
        }
    }
}
