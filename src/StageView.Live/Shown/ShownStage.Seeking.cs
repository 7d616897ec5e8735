using StageView.Rig.Pieces;
using StageView.Wire.Capture;

namespace StageView.Live.Shown;

/// <summary>Far places of a capture: read by its index, with none of what guards the stages held.</summary>
internal sealed partial class ShownStage
{
    private int _seeks;
    private Task? _catchingUp;

    /// <summary>
    /// Goes to a time of the capture; false when none is open. Levels up to it are read beside the stage, which goes on being drawn. Of several
    /// that ask at once the newest is followed.
    /// </summary>
    /// <param name="seconds">s from the capture's start.</param>
    /// <exception cref="CaptureException">The capture can't be read any more.</exception>
    public bool Seek(double seconds)
    {
        var mine = Interlocked.Increment(ref _seeks);
        CaptureDeck? far;
        lock (_gate)
        {
            far = _capture is { } open && !open.IsNear(seconds) ? open : null;
        }

        far?.Reach(seconds);
        lock (_seeking)
        {
            CaptureDeck deck;
            RigScene rig;
            lock (_gate)
            {
                if (_capture is not { } shown)
                {
                    return false;
                }

                if (mine != Volatile.Read(ref _seeks) || shown.TrySeek(seconds))
                {
                    return true;
                }

                (deck, rig) = (shown, _rig);
            }

            var ready = deck.Prepare(rig, seconds);
            lock (_gate)
            {
                if (ReferenceEquals(deck, _capture) && ReferenceEquals(rig, _rig))
                {
                    deck.Seek(seconds, ready);
                    return true;
                }
            }

            ready.Show.Dispose();
            return true;
        }
    }

    private void FollowBehind(CaptureDeck deck)
    {
        if (deck.IsBehind && _catchingUp is null or { IsCompleted: true })
        {
            _catchingUp = Task.Run(() => CatchUp(deck));
        }
    }

    /// <summary>
    /// Brings a capture that fell far behind, because nobody looked or its disk was slow, to where it should be, beside the stage; where it can't be read any
    /// more it stays at what was shown.
    /// </summary>
    private void CatchUp(CaptureDeck deck)
    {
        lock (_seeking)
        {
            double to;
            RigScene rig;
            lock (_gate)
            {
                (to, rig) = (deck.Position(), _rig);
            }

            ReadyShow? ready = null;
            try
            {
                ready = deck.Prepare(rig, to);
            }
            catch (Exception e) when (e is CaptureException or IOException or UnauthorizedAccessException)
            {
                // Held below.
            }

            lock (_gate)
            {
                if (ReferenceEquals(deck, _capture) && ReferenceEquals(rig, _rig))
                {
                    if (ready is null)
                    {
                        deck.Hold();
                    }
                    else
                    {
                        deck.Take(ready);
                    }

                    return;
                }
            }

            ready?.Show.Dispose();
        }
    }
}
