using System.Numerics;

namespace StageView.Live.Terms;

/// <summary>The show as the page and the window see it. All members may be called from any thread; none throws for what a user did.</summary>
internal interface ILiveShow
{
    /// <summary>What changes with the rig file only; <see cref="RigCard.Version"/> grows with every reload.</summary>
    RigCard Rig { get; }

    /// <summary>Everything that changes by itself, as of now.</summary>
    ShowState State();

    /// <summary>The fixture whose head or beam the ray meets first.</summary>
    Reply Pick(Ray ray);

    /// <summary>A fixture's levels, physical values and landings, as of now.</summary>
    /// <param name="name">Its name in the rig, here and below: a place in the list may be another fixture's after the next save.</param>
    Reply Fixture(string name);

    /// <summary>Names of the fixtures that fit a search: name, number, group, universe or address.</summary>
    Reply Find(string text);

    /// <summary>The point of the scene that the ray meets first.</summary>
    Vector3? PointOn(Ray ray);

    /// <summary>How the fixture reaches a point, directly and by way of mirrors.</summary>
    Reply Aim(string fixture, Vector3 point);

    Reply Record(bool on);

    /// <summary>Shows the network again.</summary>
    Reply Listen();

    /// <summary>Shows a capture or a cue file, paused at its start.</summary>
    Reply Open(string capture);

    /// <summary>The music to what is shown: a file's full path, or null.</summary>
    string? SoundFile { get; }

    Reply Play(bool playing, double speed);

    /// <param name="seconds">s from the capture's start.</param>
    Reply Seek(double seconds);

    /// <summary>Goes to a time of the capture by its name, such as <c>cue:NAME</c> or <c>tc:HH:MM:SS:FF</c>.</summary>
    Reply SeekTo(string time);

    /// <summary>Puts a look in place of the levels.</summary>
    Reply TryLook(string look);

    /// <summary>Writes a new position into the rig file.</summary>
    Reply Move(string fixture, Vector3 position);

    Reply Undo();

    Reply Redo();

    /// <summary>Captures and looks that can be opened.</summary>
    Reply Shelves();

    /// <summary>Looks through the whole of the capture that is open for cautions; or gives that up, and shows those of what is shown again.</summary>
    Reply LookThrough(bool on);

    /// <summary>Fetches a commit of the group and tells, with the state, what it would change.</summary>
    /// <param name="commit">Its name in the state.</param>
    Reply LookAtCommit(string commit);

    /// <summary>Makes a commit part of the rig that was looked at.</summary>
    Reply TakeCommit(string commit);

    /// <summary>Commits the rig to the group.</summary>
    Reply CommitRig(string words);

    /// <summary>Positions of the show in another venue, the worst first.</summary>
    /// <param name="from">Place of the first that is wanted.</param>
    Reply RefocusRows(int from);

    /// <summary>What was ticked as focused since one state of the ticks.</summary>
    Reply RefocusTicks(int since);

    /// <summary>Ticks a position as focused, or all of a fixture that somebody has to do something about; or takes that back.</summary>
    /// <param name="version">Of the answer that was looked at.</param>
    /// <param name="row">Place of the position in it, or null for all of a fixture.</param>
    /// <param name="by">Who says so; may be empty.</param>
    Reply TickFocused(int version, int? row, string? fixture, bool on, string by);

    /// <summary>Starts or stops measuring with a marker universe.</summary>
    Reply Measure(bool on);
}
