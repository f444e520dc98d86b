using Microsoft.Data.Sqlite;
using Pourwright.V1;

namespace Pourwright.Faults.Simulation;

/// <summary>A node has lost its power: whatever it still tries fails.</summary>
internal sealed class NodeDiedException() : Exception("The node has died.");

/// <summary>Where something may go wrong.</summary>
internal enum Point { View, Begin, Commit, Committed, Publish, Published, Post, Posted }

/// <summary>What goes wrong there.</summary>
internal enum Fault { Death, Busy, Full, IoError, Meanwhile, Refused, Lost }

/// <summary>A mail that has arrived.</summary>
/// <param name="State">Of its reminder when it was sent off.</param>
/// <param name="IsInterleaved">Another node did something in between, and may have changed that state.</param>
internal sealed record Post(string Reminder, string Address, Reminder.Types.State State, bool IsInterleaved);

/// <summary>A clock that stands until it is set, also back; no timer of it ever fires.</summary>
internal sealed class SimulatedClock(DateTimeOffset start) : TimeProvider
{
    public DateTimeOffset Now { get; set; } = start;

    public override DateTimeOffset GetUtcNow() => Now;

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period) => new Never();

    private sealed class Never : ITimer
    {
        public bool Change(TimeSpan dueTime, TimeSpan period) => true;

        public void Dispose() { }

        public ValueTask DisposeAsync() => ValueTask.CompletedTask;
    }
}

/// <summary>All that a simulated studio has around it: one clock, one source of chance, one fault at a time, and the post.</summary>
/// <remarks>
/// Nothing runs by itself. An act runs to its end before the next begins, on whatever thread; at each point where a node meets its store,
/// the bus or the post, the one fault of the act may strike, and "meanwhile" another node does something of its own in between.
/// </remarks>
internal sealed class SimulatedWorld(int seed, DateTimeOffset start, PlantedBug bug)
{
    private int _pointsLeft;
    private Fault _fault;

    public Random Random { get; } = new(seed);

    public SimulatedClock Clock { get; } = new(start);

    /// <summary>What was put into the code on purpose; none is the code as it is.</summary>
    public PlantedBug Bug => bug;

    public SimulatedBus Bus { get; } = new();

    public List<Post> Posts { get; } = [];

    /// <summary>Is the post unreliable by itself, besides the one fault of an act?</summary>
    public bool IsStormy { get; set; }

    /// <summary>What another node does in between; set by who knows the nodes.</summary>
    public Action<SimulatedNode> Meanwhile { get; set; } = _ => { };

    /// <summary>Did another node do something in between, during this act?</summary>
    public bool WasInterleaved { get; private set; }

    /// <summary>Did the fault of this act strike?</summary>
    public bool HasStruck { get; private set; }

    /// <summary>Is the fault of this act one that is said, rather than one that loses without a word?</summary>
    public bool IsRefusing => _fault == Fault.Refused;

    /// <summary>Lets a fault strike at the n-th point from now that knows it; 0 is never.</summary>
    public void Arm(Fault fault, int nth) => (_fault, _pointsLeft, WasInterleaved, HasStruck) = (fault, nth, false, false);

    public void Disarm() => Arm(Fault.Death, 0);

    /// <summary>A node is at a point; true where what it is about to do is to fail there by the fault of that point's own.</summary>
    public bool Reach(SimulatedNode node, Point point)
    {
        if (node.IsDead) throw new NodeDiedException();
        if (_pointsLeft == 0 || !Knows(point, _fault) || --_pointsLeft > 0) return false;
        HasStruck = true;
        switch (_fault)
        {
            case Fault.Death:
                node.IsDead = true;
                throw new NodeDiedException();
            case Fault.Busy:
                throw new SqliteException("database is locked", SQLitePCL.raw.SQLITE_BUSY);
            case Fault.Full:
                throw new SqliteException("database or disk is full", SQLitePCL.raw.SQLITE_FULL);
            case Fault.IoError:
                node.IsEnding = true;
                throw new SqliteException("disk I/O error", SQLitePCL.raw.SQLITE_IOERR);
            case Fault.Meanwhile:
                WasInterleaved = true;
                Meanwhile(node);
                return false;
            default:
                return true;
        }
    }

    /// <summary>After a commit nothing can fail but the node; a bus that takes a message and loses it says nothing.</summary>
    private static bool Knows(Point point, Fault fault) => fault switch
    {
        Fault.Death => true,
        Fault.Meanwhile => point is Point.View or Point.Begin or Point.Publish or Point.Post,
        Fault.Refused => point is Point.Publish or Point.Post or Point.Posted,
        Fault.Lost => point == Point.Publish,
        _ => point is Point.Begin or Point.Commit,
    };
}
