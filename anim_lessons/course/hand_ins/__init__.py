"""The hand-ins of a class: a folder of them in, results, a table, and pages of the class and of each learner out.

    collecting   what lies in a folder, and in zips in it: read as data, one entry after the other
    roster       who is in the class, and whose an entry is
    workers      who does the work: this process, several, or a cluster
    judged       entries judged, and the log from which the next run goes on
    own_marks    the instructor's own file: marks, comments, and whose an entry is that nobody can tell
    last_word    the instructor's marks before the rules', and how far they agree
    results      each learner's newest hand-in; what is late, missing, or needs the instructor
    alike        the same drawings from two learners, where it is asked
    written      results as JSON and as a sheet
    class_page   results as a page
    pages        a page for each learner
    mark         all of it
    panel        what the marking panel in a notebook is answered
    invented_class   a class that is made up, to try it on
"""
