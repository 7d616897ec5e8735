using StageView.Live.Network;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Show;
using StageView.Show.Sources;
using StageView.Wire.Capture;

namespace StageView.Live.Shown;

/// <summary>Puts the network, a capture or a look on stage as the page asks, and says so in the journal.</summary>
/// <param name="changed">Called when something else may be seen now.</param>
/// <param name="who">Stands before what the journal is told; empty for the house.</param>
internal sealed class SourceSwitch(
    ShownStage shown, Shelf shelf, CuePlays cues, NightRecorder recorder, string looks, NightJournal journal, Action changed, string who = "")
{
    private static readonly TimeSpan StillWriting = TimeSpan.FromMilliseconds(120);

    public Reply Network()
    {
        shown.ShowNetwork();
        journal.Say("show", who + "showing the network");
        changed();
        return Reply.Done("showing the network");
    }

    public Reply Open(string capture)
    {
        if (shelf.Cues(capture) is { } written)
        {
            return cues.Open(capture, written);
        }

        if (!shelf.Captures().TryGetValue(capture, out var file))
        {
            return Reply.Refuse($"there is no capture named {OneLine.Of(capture)} in {recorder.Folder}");
        }

        try
        {
            shown.Show(new ShownFile(capture, file, CueTimes.Sound(file)));
        }
        catch (CaptureException e)
        {
            return Reply.Refuse(e.Message);
        }

        journal.Say("show", $"{who}showing the capture {capture}");
        changed();
        return Reply.Done($"{capture} is open; play it or pull the slider");
    }

    /// <summary>Freezes the last minutes heard and shows their end.</summary>
    public Reply OpenLast(LastMinutes last)
    {
        if (last.Freeze(out var why) is not { } frozen)
        {
            return Reply.Refuse(why);
        }

        try
        {
            shown.Show(new ShownFile(frozen.Name, frozen.File, null));
            shown.Seek(frozen.Seconds);
        }
        catch (CaptureException e)
        {
            return Reply.Refuse(e.Message);
        }

        journal.Say("show", $"{who}showing the {frozen.Name}");
        changed();
        return Reply.Done($"{frozen.Name}: go back with the slider; save them to keep them");
    }

    public Reply Play(bool playing, double speed) => WithCapture(() => shown.Play(playing, speed));

    public Reply Seek(double seconds) => WithCapture(() => shown.Seek(seconds));

    public Reply SeekTo(string time) => WithCapture(() => shown.Capture is { } deck && shown.Seek(deck.TimeOf(time)));

    public Reply TryLook(string look)
    {
        if (shelf.Look(look) is not { } file)
        {
            return Reply.Refuse($"there is no look named {OneLine.Of(look)} in {looks}");
        }

        string why;
        do
        {
            if (LookTrial.Read(look, file, shown.Rig, out why) is not { } trial)
            {
                journal.Say("show", $"{who}the look {look} is not tried: {why}");
                return Reply.Refuse($"{look} is not tried: {why}");
            }

            if (shown.Show(trial))
            {
                break;
            }
        }
        while (true);

        journal.Say("show", $"{who}trying the look {look}{(why.Length > 0 ? ", without: " + why : "")}");
        changed();
        return Reply.Done(why.Length > 0 ? $"trying {look}, without: {why}" : $"trying {look}; nothing is sent");
    }

    /// <summary>Reads a look that is being tried again when it was saved. Where no line of it can be used, the last good one stays.</summary>
    /// <param name="stop">Ends the waiting for an editor that is half-way through its save.</param>
    public void FollowLook(WaitHandle stop)
    {
        if (shown.Look is not { } look || look.Watch.Changed().Count == 0)
        {
            return;
        }

        LookTrial? again;
        string why;
        while ((again = look.On(shown.Rig, out why)) is null)
        {
            if (!stop.WaitOne(StillWriting) && look.Watch.Changed().Count > 0)
            {
                continue;
            }

            journal.Say("show", $"the look {look.Name} was saved and can't be used: {why} (the last good one stays)");
            return;
        }

        if (shown.Replace(look, again))
        {
            journal.Say("show", $"the look {look.Name} was saved and is read again{(why.Length > 0 ? ", without: " + why : "")}");
            changed();
        }
    }

    private Reply WithCapture(Func<bool> act)
    {
        try
        {
            if (!act())
            {
                return Reply.Refuse("no capture is open");
            }
        }
        catch (Exception e) when (e is StopException or CaptureException or IOException or UnauthorizedAccessException)
        {
            return Reply.Refuse(e.Message);
        }

        changed();
        return Reply.Done("");
    }
}
