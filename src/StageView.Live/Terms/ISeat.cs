using System.Numerics;

namespace StageView.Live.Terms;

/// <summary>
/// What is shown to one viewer, or, in the house, to the window and to all who have nothing of their own: the network, a capture or a look, and what is asked
/// of it. All members may be called from any thread; none throws for what a user did.
/// </summary>
internal interface ISeat : IDisposable
{
    /// <summary>What is drawn.</summary>
    IMoments Moments { get; }

    /// <summary>Everything that changes by itself, as of now.</summary>
    ShowState State();

    /// <summary>The levels of every patched universe that was heard, 512 bytes each.</summary>
    IReadOnlyList<(int Universe, byte[] Levels)> Levels();

    /// <summary>The fixture whose head is seen along the ray, else the one whose light is, with the next ones.</summary>
    Reply Pick(Ray ray);

    /// <summary>A fixture's levels, physical values and landings, as of now.</summary>
    /// <param name="name">Its name in the rig, here and below: a place in the list may be another fixture's after the next save.</param>
    Reply Fixture(string name);

    /// <summary>The point of the scene that the ray meets first.</summary>
    Vector3? PointOn(Ray ray);

    /// <summary>How the fixture reaches a point, directly and by way of mirrors.</summary>
    Reply Aim(string fixture, Vector3 point);

    /// <summary>Several fixtures together: who is lit, how far colours, places and levels lie apart.</summary>
    Reply Several(IReadOnlyList<string> fixtures);

    /// <summary>The levels that are looked at instead of those that come in.</summary>
    IReadOnlyList<AsIfLevel> AsIfLevels { get; }

    /// <summary>Looks at levels instead of those that come in, until it is ended or something else is shown. Nothing is sent.</summary>
    Reply LookAsIf(IReadOnlyList<AsIfLevel> levels);

    /// <summary>The same of one attribute of several fixtures.</summary>
    /// <param name="share">Of each channel's range, 0 to 1.</param>
    Reply LookAsIf(IReadOnlyList<string> fixtures, string attribute, double share);

    /// <summary>Everything follows the levels that come in again.</summary>
    Reply EndAsIf();

    /// <summary>Shows the network again.</summary>
    Reply Listen();

    /// <summary>Shows a capture or a cue file, paused at its start.</summary>
    Reply Open(string capture);

    /// <summary>Freezes the last minutes heard and shows them, paused at their end.</summary>
    Reply OpenLast();

    /// <summary>The music to what is shown: a file's full path, or null.</summary>
    string? SoundFile { get; }

    Reply Play(bool playing, double speed);

    /// <param name="seconds">s from the capture's start.</param>
    Reply Seek(double seconds);

    /// <summary>Goes to a time of the capture by its name, such as <c>cue:NAME</c> or <c>tc:HH:MM:SS:FF</c>.</summary>
    Reply SeekTo(string time);

    /// <summary>Puts a look in place of the levels.</summary>
    Reply TryLook(string look);

    /// <summary>Looks through the whole of the capture that is open for cautions; or gives that up, and shows those of what is shown again.</summary>
    Reply LookThrough(bool on);
}
